"""The same bursts typed into a real terminal: the keys arrive as sent, and the verdicts are the same."""

from __future__ import annotations

import contextlib
import json
import random
import sys
import threading
import time
from pathlib import Path

from darkroom.session.key_map import NUDGES, KeyMap
from darkroom.session.strikes import LOCK, RUN, SETTLE, Recogniser
from tests.kit.bursts import KINDS, Burst
from tests.kit.nightly import size
from tests.kit.terminal import KEYS, Terminal

APP = str(Path(__file__).parents[1] / "kit" / "strike_app.py")
SENT = KEYS | {
    "f1": b"\x1bOP", "f2": b"\x1bOQ", "full_stop": b".", "slash": b"/", "left_square_bracket": b"[",
    "semicolon": b";", "tilde": b"~", "question_mark": b"?", "circumflex_accent": b"^",
}  # fmt: skip
MOST = 1.6
"""Bursts are cut after so many seconds here, but for one held beyond three."""
APART = 1.05
"""Seconds between two bursts: more than the 0.7 s after which the next key begins a strike of its own."""
BURSTS = size("DARKROOM_BURSTS", 2, 25)
"""How many bursts of each kind are typed."""


def _short(burst: Burst) -> Burst:
    return burst._replace(keys=[(at, key) for at, key in burst.keys if at <= MOST])


def _typed(terminal: Terminal, burst: Burst) -> None:
    """Type a burst at its own times; a torn sequence is typed as bytes with one pause."""
    begun = time.monotonic()
    if burst.kind == "torn":
        data = b"".join(
            SENT.get(name.removeprefix("alt+"), name.removeprefix("alt+").encode()) for _, name in burst.keys
        )
        data = b"\x1b" + data.lstrip(b"\x1b^")
        cut = 1 + int((len(data) - 1) * (burst.keys[-1][0] * 97 % 1))
        terminal.send(data[:cut])
        time.sleep(0.13 + burst.keys[-1][0] * 0.3)
        terminal.send(data[cut:])
        return
    for at, name in burst.keys:
        wait = begun + at - time.monotonic()
        if wait > 0:
            time.sleep(wait)
        terminal.send(SENT.get(name, name.encode()))


def _written(path: Path) -> list[list[object]]:
    return [json.loads(line) for line in path.read_text().splitlines()] if path.exists() else []


def _as_typed(burst: Burst, keys: list[list[object]]) -> bool:
    """Say whether the keys came as the burst that was meant: a stalled machine pulls them apart.

    Every rule of a strike asks whether a pause is shorter than a limit: between keys of one zone the run's,
    between keys of two zones the handful's and the lock's. A burst is the one that was meant while each of
    its pauses lies on the same side of those limits as typed.
    """
    if burst.kind == "torn" or len(keys) != len(burst.keys):
        return True
    zone_of = KeyMap().zone_of
    events = [
        (meant, float(str(line[1])), zone_of(name))
        for (meant, name), line in zip(burst.keys, keys, strict=True)
    ]
    last_of_zone: dict[str | None, tuple[float, float]] = {}
    for place, (meant, seen, zone) in enumerate(events):
        pauses = [(*last_of_zone[zone], RUN)] if zone in last_of_zone else []
        pauses += [
            (*before[:2], limit) for before in events[:place] if before[2] != zone for limit in (SETTLE, LOCK)
        ]
        if any((seen - seen_0 < limit) != (meant - meant_0 < limit) for meant_0, seen_0, limit in pauses):
            return False
        last_of_zone[zone] = (meant, seen)
    return True


def _play(kind: str, count: int, path: Path, wrong: list[str]) -> None:
    """Type `count` bursts of a kind into a terminal of their own; note each that struck otherwise.

    A burst that a stalled machine pulled apart is another burst than the one meant: of it only the keys
    are judged, and what the recogniser made of the time stamps that they got; where the machine stalled
    between the reading of a key and the recogniser, only the keys.
    """
    rng = random.Random(f"terminal {kind}")
    bursts, begun = [], []
    with Terminal(80, 24) as terminal:
        terminal.spawn([sys.executable, APP, str(path)])
        terminal.wait_for("READY")
        for _ in range(count):
            bursts.append(_short(KINDS[kind](rng)) if kind != "presses" else KINDS[kind](rng))
            begun.append(time.monotonic())
            _typed(terminal, bursts[-1])
            time.sleep(APART)
        with contextlib.suppress(TimeoutError):
            terminal.wait_until(lambda: len(_verdicts(_written(path))) >= len(_recognised(_written(path))))
    written = _written(path)
    overtaken = _overtaken(written)
    if not overtaken and _verdicts(written) != _recognised(written):
        wrong.append(f"{kind}: live verdicts differ from those on the same time stamps")
    for burst, since, until in zip(bursts, begun, [*begun[1:], float("inf")], strict=True):
        keys = [line for line in written if line[0] == "key" and since <= float(str(line[1])) < until]
        struck = [
            zone
            for name, up, zone in _verdicts(written)
            if name == "Strike" and since <= float(str(up)) < until
        ]
        if kind == "torn":  # torn right after its escape it begins as the escape key that it then was
            struck = [zone for zone in struck if zone != "menu"]
        elif [name for _, name in burst.keys] != [line[2] for line in keys]:
            wrong.append(f"{kind}: sent {burst.keys}, seen {keys}")
        if _as_typed(burst, keys) and not any(key in overtaken for key in keys) and struck != burst.strikes:
            wrong.append(f"{kind}: {burst} struck {struck}; {keys}")


def _overtaken(written: list[list[object]]) -> list[list[object]]:
    """Return the keys that were read before the recogniser last looked at what was due, and came after it."""
    overtaken, looked = [], float("-inf")
    for line in written:
        if line[0] == "due":
            looked = float(str(line[1]))
        elif line[0] == "key" and float(str(line[1])) < looked:
            overtaken.append(line)
    return overtaken


def _verdicts(written: list[list[object]]) -> list[list[object]]:
    """Return the live verdicts: name, instant, zone."""
    return [line[1:] for line in written if line[0] == "verdict"]


def _recognised(written: list[list[object]]) -> list[list[object]]:
    """Return the verdicts that a recogniser gives on the same keys with the same time stamps."""
    again = Recogniser(KeyMap().zone_of, NUDGES)
    verdicts = []
    for line in written:
        if line[0] == "key":
            verdicts += again.key(str(line[2]), float(str(line[1])))
    verdicts += again.due(float("inf"))
    return [[type(verdict).__name__, verdict.up, getattr(verdict, "zone", None)] for verdict in verdicts]


def test_bursts_in_a_terminal(tmp_path: Path) -> None:
    """Bursts of every kind, each kind in a terminal of its own, strike what was meant."""
    wrong: list[str] = []
    threads = [
        threading.Thread(target=_play, args=(kind, BURSTS, tmp_path / f"{kind}.jsonl", wrong))
        for kind in KINDS
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert wrong == []
    for kind in KINDS:
        assert any(line[0] == "key" for line in _written(tmp_path / f"{kind}.jsonl")), f"{kind}: no key came"


def test_a_paste_and_focus_are_nothing(tmp_path: Path) -> None:
    """Pasted text, focus reports and a mouse that was never asked for strike nothing."""
    path = tmp_path / "keys.jsonl"
    with Terminal(80, 24) as terminal:
        terminal.spawn([sys.executable, APP, str(path)])
        terminal.wait_for("READY")
        terminal.send(b"\x1b[200~x c v space\x1b[201~")
        terminal.send(b"\x1b[I\x1b[O\x1b[I")
        terminal.send(b"\x1b[<0;10;10M\x1b[<0;10;10m")
        assert b"\x1b[?1000h" not in terminal.data and b"\x1b[?1003h" not in terminal.data
        terminal.send("x")
        terminal.wait_for("Strike go")
        assert [line[2] for line in _written(path) if line[0] == "key"] == ["x"]


def test_keys_of_the_kitty_protocol(tmp_path: Path) -> None:
    """Terminals that report modifiers as keys: a lone Shift is nothing, shifted and locked letters strike."""
    path = tmp_path / "keys.jsonl"
    with Terminal(80, 24) as terminal:
        terminal.spawn([sys.executable, APP, str(path)])
        terminal.wait_for("READY")
        terminal.send(b"\x1b[57441;2u\x1b[57358;65u\x1b[57358;2u")
        time.sleep(APART)  # taken for a strike it would be one of its own
        for letter in (b"\x1b[120;2;88u", b"\x1b[99;65;67u", b"\x1b[32;;32u"):
            terminal.send(letter)
            time.sleep(APART)

        def struck() -> list[object]:
            return [line[3] for line in _written(path) if line[:2] == ["verdict", "Strike"]]

        terminal.wait_until(lambda: len(struck()) >= 3)
        assert struck() == ["go", "go", "go"]
