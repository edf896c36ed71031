"""Generated bursts of keys as gloves make them, and what each may do: for the strike tests.

A burst is a list of (seconds since its start, key name). Repeat delays and rates: 250 ms on the Linux
console, 500 ms on most desktops, 660 ms and 25 a second under X11 (from memory); chatter of worn keys
10 to 80 ms (from memory).
"""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import NamedTuple

from darkroom.session.key_map import DEFAULT, NUDGES

LIVE = [key for zone, keys in DEFAULT.items() if zone not in NUDGES and zone != "menu" for key in keys]
GO = list(DEFAULT["go"])
DEAD = [*"asdfghjklqwertyuiop4589", "enter", "tab", "full_stop", "slash", "f1", "f5", "home", "end"]
ZONE = {key: zone for zone, keys in DEFAULT.items() for key in keys}


class Burst(NamedTuple):
    """Keys with their times, the zones it must strike, in order, and whether it may do less."""

    kind: str
    keys: list[tuple[float, str]]
    strikes: list[str]


def _held(rng: random.Random, delay: float, most: float = 5.0) -> Burst:
    key = rng.choice(LIVE)
    rate = rng.choice([1 / 30, 1 / 25, 1 / 10.9])
    length = rng.uniform(delay, most)
    at, keys = delay, [(0.0, key)]
    while at < length:
        keys.append((at, key))
        at += rate * rng.uniform(0.9, 1.1)
    return Burst(f"held {delay}", keys, [ZONE[key]])


def held_250(rng: random.Random) -> Burst:
    """A live key held down, repeating after 250 ms."""
    return _held(rng, 0.25)


def held_500(rng: random.Random) -> Burst:
    """A live key held down, repeating after 500 ms."""
    return _held(rng, 0.5)


def held_660(rng: random.Random) -> Burst:
    """A live key held down, repeating after 660 ms."""
    return _held(rng, 0.66)


def slap(rng: random.Random) -> Burst:
    """A flat hand on neighbouring keys within 55 ms: live first, dead first, or two zones."""
    how = rng.choice(["live first", "dead first", "two zones"])
    times = sorted([0.0, *(rng.uniform(0.0, 0.055) for _ in range(rng.randint(1, 5)))])
    key = rng.choice(LIVE)
    if how == "live first":
        same = [k for k in DEFAULT[ZONE[key]]] + DEAD
        return Burst(
            "slap", list(zip(times, [key, *rng.choices(same, k=len(times) - 1)], strict=True)), [ZONE[key]]
        )
    if how == "dead first":
        rest = [*rng.choices(DEAD + LIVE, k=len(times) - 2), key] if len(times) > 1 else []
        return Burst("slap", list(zip(times, [rng.choice(DEAD), *rest], strict=True)), [])
    other = rng.choice([k for k in LIVE if ZONE[k] != ZONE[key]])
    rest = [*rng.choices(DEAD + LIVE, k=len(times) - 2), other]
    return Burst("slap", list(zip(times, [key, *rest], strict=True)), [])


def chatter(rng: random.Random) -> Burst:
    """One press of a worn key: several events within 200 ms."""
    key = rng.choice(LIVE)
    at, keys = 0.0, [(0.0, key)]
    for _ in range(rng.randint(1, 5)):
        at += rng.uniform(0.002, 0.08)
        keys.append((at, key))
    return Burst("chatter", keys, [ZONE[key]])


_SEQUENCES = [  # keys whose tails hold live digits, and reports whose finals are live letters
    ["left_square_bracket", *"15", "tilde"], ["left_square_bracket", *"21", "tilde"],
    ["left_square_bracket", *"3", "tilde"], ["left_square_bracket", *"24", "semicolon", "2", "tilde"],
    ["left_square_bracket", *"12", "semicolon", *"40", "R"], ["O", "P"], ["left_square_bracket", "Z"],
    ["left_square_bracket", "question_mark", *"62", "semicolon", "4", "c"], ["left_square_bracket", "0", "n"],
]  # fmt: skip


def torn(rng: random.Random) -> Burst:
    """An escape sequence torn apart on its way: its pieces arrive as keys of their own."""
    first, *rest = rng.choice(_SEQUENCES)
    lead = rng.choice([["escape", first], [f"alt+{first}"], ["circumflex_accent", first]])
    names = [*lead, *rest]
    gaps = [0.0, *(rng.uniform(0.0, 0.03) for _ in names[1:])]
    if len(names) > 2:
        gaps[rng.randrange(2, len(names))] = rng.uniform(0.0, 0.5)
    keys, at = [], 0.0
    for name, gap in zip(names, gaps, strict=True):
        at += gap
        keys.append((at, name))
    return Burst("torn", keys, [])


def dead(rng: random.Random) -> Burst:
    """Random dead keys, fast and slow."""
    at, keys = 0.0, []
    for _ in range(rng.randint(1, 40)):
        keys.append((at, rng.choice(DEAD)))
        at += rng.choice([rng.uniform(0.0, 0.05), rng.uniform(0.05, 0.6)])
    return Burst("dead", keys, [])


def presses(rng: random.Random) -> Burst:
    """Deliberate presses at least 0.8 s apart, of any live keys, each with a little chatter or none."""
    at, keys, strikes = 0.0, [], []
    for _ in range(rng.randint(2, 4)):
        key = rng.choice(LIVE)
        keys.append((at, key))
        strikes.append(ZONE[key])
        at += rng.uniform(0.8, 1.2)
    return Burst("presses", keys, strikes)


KINDS: dict[str, Callable[[random.Random], Burst]] = {
    "held 250": held_250,
    "held 500": held_500,
    "held 660": held_660,
    "slap": slap,
    "chatter": chatter,
    "torn": torn,
    "dead": dead,
    "presses": presses,
}
