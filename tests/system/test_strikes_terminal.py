"""The same bursts typed into a real terminal: the keys arrive as sent, and the verdicts are the same."""

from __future__ import annotations

import json
import random
import sys
import threading
import time
from pathlib import Path

import pytest

from darkroom.session.key_map import NUDGES, KeyMap
from darkroom.session.strikes import Recogniser
from tests.kit.bursts import KINDS, Burst
from tests.kit.terminal import KEYS, Terminal

APP = str(Path(__file__).parents[1] / "kit" / "strike_app.py")
SENT = KEYS | {
    "f1": b"\x1bOP", "f2": b"\x1bOQ", "full_stop": b".", "slash": b"/", "left_square_bracket": b"[",
    "semicolon": b";", "tilde": b"~", "question_mark": b"?", "circumflex_accent": b"^",
}  # fmt: skip
MOST = 1.6
"""Bursts are cut after so many seconds here, but for one held beyond three."""
STALLED = 0.06
"""Seconds a pause between two keys may differ from the one meant before the burst is another one."""
ATTEMPTS = 5


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


def _as_typed(burst: Burst, fresh: list[list[object]]) -> bool:
    """Say whether the keys reached the tool with their own pauses: a stalled machine adds to them."""
    stamps = [float(str(line[1])) for line in fresh if line[0] == "key"]
    if burst.kind == "torn" or len(stamps) != len(burst.keys):
        return True
    meant = [at for at, _ in burst.keys]
    return all(
        abs((stamps[i + 1] - stamps[i]) - (meant[i + 1] - meant[i])) <= STALLED for i in range(len(meant) - 1)
    )


def _play(kind: str, count: int, path: Path, wrong: list[str]) -> None:
    """Type `count` bursts of a kind into a terminal of their own; note each that struck otherwise.

    A burst that a stalled machine pulled apart is another burst than the one meant: it is typed again, and
    only what the recogniser made of the time stamps it got is judged, at the end.
    """
    rng = random.Random(f"terminal {kind}")
    with Terminal(80, 24) as terminal:
        terminal.spawn([sys.executable, APP, str(path)])
        terminal.wait_for("READY", 20)
        time.sleep(0.3)
        for _ in range(count):
            burst = _short(KINDS[kind](rng)) if kind != "presses" else KINDS[kind](rng)
            for _attempt in range(ATTEMPTS):
                before = len(_written(path))
                _typed(terminal, burst)
                time.sleep(1.05)
                fresh = _written(path)[before:]
                if _as_typed(burst, fresh):
                    break
            else:
                wrong.append(f"{kind}: never typed with its own pauses: {burst}; {fresh}")
                continue
            struck = [line[3] for line in fresh if line[:2] == ["verdict", "Strike"]]
            if kind == "torn":  # torn right after its escape it begins as the escape key that it then was
                struck = [zone for zone in struck if zone != "menu"]
            else:
                seen = [line[2] for line in fresh if line[0] == "key"]
                if [name for _, name in burst.keys] != seen:
                    wrong.append(f"{kind}: sent {burst.keys}, seen {seen}")
            if struck != burst.strikes:
                wrong.append(f"{kind}: {burst} struck {struck}; {fresh}")
    again = Recogniser(KeyMap().zone_of, NUDGES)
    verdicts = []
    for line in _written(path):
        if line[0] == "key":
            verdicts += again.key(str(line[2]), float(str(line[1])))
    verdicts += again.due(float("inf"))
    live = [line[1:] for line in _written(path) if line[0] == "verdict"]
    if live != [[type(v).__name__, v.up, getattr(v, "zone", None)] for v in verdicts]:
        wrong.append(f"{kind}: live verdicts differ from those on the same time stamps")


def _play_all(count: int, where: Path) -> list[str]:
    """Type bursts of every kind, each kind into a terminal of its own, at the same time."""
    wrong: list[str] = []
    threads = [
        threading.Thread(target=_play, args=(kind, count, where / f"{kind}.jsonl", wrong)) for kind in KINDS
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return wrong


def test_bursts_in_a_terminal(tmp_path: Path) -> None:
    """Forty bursts, five of each kind, typed with their real times strike what was meant."""
    assert _play_all(5, tmp_path) == []


@pytest.mark.slow
def test_many_bursts_in_a_terminal(tmp_path: Path) -> None:
    """Twenty-five bursts of each kind, typed with their real times, strike what was meant."""
    assert _play_all(25, tmp_path) == []


def test_a_paste_and_focus_are_nothing(tmp_path: Path) -> None:
    """Pasted text, focus reports and a mouse that was never asked for strike nothing."""
    path = tmp_path / "keys.jsonl"
    with Terminal(80, 24) as terminal:
        terminal.spawn([sys.executable, APP, str(path)])
        terminal.wait_for("READY", 20)
        terminal.send(b"\x1b[200~x c v space\x1b[201~")
        terminal.send(b"\x1b[I\x1b[O\x1b[I")
        terminal.send(b"\x1b[<0;10;10M\x1b[<0;10;10m")
        time.sleep(0.6)
        assert _written(path) == []
        assert b"\x1b[?1000h" not in terminal.data and b"\x1b[?1003h" not in terminal.data
        terminal.send("x")
        terminal.wait_for("Strike go")


def test_keys_of_the_kitty_protocol(tmp_path: Path) -> None:
    """Terminals that report modifiers as keys: a lone Shift is nothing, shifted and locked letters strike."""
    path = tmp_path / "keys.jsonl"
    with Terminal(80, 24) as terminal:
        terminal.spawn([sys.executable, APP, str(path)])
        terminal.wait_for("READY", 20)
        terminal.send(b"\x1b[57441;2u\x1b[57358;65u\x1b[57358;2u")
        time.sleep(0.3)
        assert not [line for line in _written(path) if line[0] == "verdict"]
        for letter in (b"\x1b[120;2;88u", b"\x1b[99;65;67u", b"\x1b[32;;32u"):
            terminal.send(letter)
            time.sleep(1.0)
        struck = [line[3] for line in _written(path) if line[:2] == ["verdict", "Strike"]]
        assert struck == ["go", "go", "go"]
