"""Starting with odd journals and odd bench.json: in this process in volume, and the tool in a terminal."""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from unittest import mock

import msgspec

from darkroom.bench import all_plates, cues, decide_all
from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench.all_plates import Bench
from darkroom.bench.intents import Cause
from darkroom.bench.view import bench_view
from darkroom.log.journal.frame import encode
from darkroom.log.journal.merge import read_plate
from darkroom.screens.bench.layout import face
from darkroom.screens.bench.rail import BenchStatus
from darkroom.screens.start import build
from darkroom.session import telling
from tests.kit.odd_journals import AT, GOOD, ODD, TODAY, bench_lines, with_members, write
from tests.kit.terminal import Terminal

SLOWEST = 5.0
"""A start takes no longer, in seconds, whatever lies in its folders."""
VALUES: tuple[Any, ...] = (
    None, True, False, 0, -1, 3, 10**30, -(10**18), 0.5, 1e17, -1e17, "", "fix", "nowhere", "\x1b[2J",
    [], [1], ["fix"], {}, {"at": 20.0}, GOOD, "another", "2026-03-01T10:00:00.000+01:00",
)  # fmt: skip

INTENTS: tuple[want.Intent, ...] = (
    want.Go(), want.Undo(), want.Earlier(), want.MarkNow(), want.Look(1), want.Nudge(1), want.Skip(),
    want.PutBack(), want.AddExposure(3.0), want.TellOpen(4.0), want.SetPlan(None, None),
    want.SetWetTime(60.0), want.JudgeExposure("more"), want.Abandon("fogged"),
    want.ReadTemperature("bath", 20.0, "hand"), want.ClockDid("slept", 60.0),
)  # fmt: skip


@contextmanager
def own_folders(folder: Path) -> Iterator[Path]:
    """Give a home and a state folder of their own below `folder`, for this process; yield the home."""
    places = {"DARKROOM_HOME": str(folder / "home"), "XDG_STATE_HOME": str(folder / "state")}
    with mock.patch.dict(os.environ, places):
        yield folder / "home"


def afresh(home: Path) -> None:
    """Leave nothing in the home but a good plate in the fixer."""
    shutil.rmtree(home, ignore_errors=True)
    write(home, GOOD, bench_lines(GOOD))


def failure_of_start(home: Path) -> str | None:
    """Start in this process, let each plate be large and time go on; return what was wrong, or None."""
    begun = time.monotonic()
    try:
        services = build(home)
    except Exception as error:
        return f"the start ended: {type(error).__name__}: {error}"
    took = time.monotonic() - begun
    try:
        session = services.session
        for plate in list(session.bench.plates):
            session.tick()
            _live_on(msgspec.structs.replace(session.bench, large=plate), session.now())
        if GOOD not in session.bench.plates:
            return f"the good plate did not come back: {services.notices.text}"
        if ODD not in session.bench.plates and ODD not in (services.notices.text or ODD):
            return f"it is not said that the odd one stays away: {services.notices.text}"
    except Exception as error:
        return f"after the start: {type(error).__name__}: {error}"
    finally:
        services.close()
    return None if took < SLOWEST else f"the start took {took:.1f} s"


def _live_on(bench: Bench, now: float) -> None:
    """Draw, call and tell the bench now and later, and decide all that a hand may want; may raise."""
    for later in (0.0, 5.0, 100.0, 4000.0):
        at = now + later
        face(bench_view(bench, at), BenchStatus(), 80, 24)
        cues.cues(bench, at)
        telling.tell(bench, at)
        for intent in INTENTS:
            decision = decide_all.decide_intent(bench, intent, Cause(at=AT, up=at))
            all_plates.apply_decision(bench, decision)


def mutate(home: Path, rng: random.Random) -> str:
    """Write the odd plate's journal with one thing wrong in it; return what."""
    lines: list[Any] = list(bench_lines(ODD, boot=rng.choice(("boot", "another"))))
    place = rng.randrange(len(lines))
    kind = rng.choice(("member", "member", "member", "byte", "order", "lack", "again", "cut"))
    what = f"{kind} in line {place + 1}"
    if kind == "member":
        members = [name for name in json.loads(encode(lines[place])) if name not in ("sum", "event")]
        name, value = rng.choice(members), rng.choice(VALUES)
        lines[place] = with_members(lines[place], **{name: value})
        what += f": {name} {value!r}"
    elif kind == "order":
        rng.shuffle(lines)
    elif kind == "lack":
        del lines[place]
    elif kind == "again":
        lines.insert(rng.randrange(len(lines)), lines[place])
    path = write(home, ODD, lines)
    data = bytearray(path.read_bytes())
    if kind == "byte":
        data[rng.randrange(len(data))] ^= 1 << rng.randrange(8)
    path.write_bytes(data[: rng.randrange(len(data))] if kind == "cut" else data)
    return what


def any_json(rng: random.Random, depth: int = 0) -> Any:
    """Return any JSON value."""
    kind = rng.randrange(4 if depth < 3 else 2)
    if kind == 2:
        return [any_json(rng, depth + 1) for _ in range(rng.randrange(4))]
    if kind == 3:
        names = ("process", "exposure", "temperatures", "read_at", "timed", GOOD, "")
        return {rng.choice(names): any_json(rng, depth + 1) for _ in range(rng.randrange(4))}
    return rng.choice(VALUES)


def write_book(home: Path, **odd: Any) -> None:
    """Write bench.json with other values than it should have."""
    book = {"plates": [GOOD], "large": GOOD, "brightness": 3, "number": 1, "form": {}, "day": TODAY} | odd
    (home / "bench.json").write_text(json.dumps(book))


class Started:
    """The tool in a terminal of its own on this home; `failure` is what was wrong, or None."""

    def __init__(self, tool: Sequence[str], home: Path, columns: int = 100, rows: int = 30) -> None:
        """`tool` is the command; the folders are those of `own_folders`."""
        self.tool, self.home = tool, home
        self.terminal = Terminal(columns, rows, env={name: os.environ[name] for name in _PLACES})

    def failure(self, then: Callable[[Terminal], str | None] = lambda terminal: None) -> str | None:
        """Start, see the good plate back and a press taken, do `then`, and leave by a signal."""
        before = {path: path.stat().st_size for path in self._journals()}
        with self.terminal as terminal:
            terminal.spawn(self.tool)
            try:
                terminal.wait_until(lambda: self._has(GOOD, ev.Resumed))
                terminal.wait_for(lambda screen: bool(screen.strip()))
                terminal.settle(0.3, 3.0)
                terminal.send("6")
                terminal.wait_until(lambda: self._grown(before))
                wrong = then(terminal)
                terminal.kill(signal.SIGTERM)
                status = terminal.wait()
            except Exception as error:
                return f"{type(error).__name__}: {error}".splitlines()[0]
        return wrong or (None if status == 128 + signal.SIGTERM else f"exit status {status}")

    def _journals(self) -> list[Path]:
        return [path for path in self.home.glob("plates/*/*/*.jsonl") if path.is_file()]

    def _has(self, plate: str, kind: type[Any]) -> bool:
        path = next(self.home.glob(f"plates/*/*/{plate}.jsonl"))
        return any(isinstance(line, kind) for line in read_plate(path).events)

    def _grown(self, before: dict[Path, int]) -> bool:
        """Whether a mark was written to any plate."""
        marks = (path for path in self._journals() if path.stat().st_size != before.get(path))
        return any(b'"event":"mark","sum"' in path.read_bytes()[before.get(path, 0) :] for path in marks)


_PLACES = ("DARKROOM_HOME", "XDG_STATE_HOME")
