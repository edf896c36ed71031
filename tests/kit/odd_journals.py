"""Journals that no bench would write, beside a good one: what the start must survive."""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import msgspec

from darkroom.bench import events as ev
from darkroom.log.journal.frame import encode
from darkroom.log.store import paths
from tests.kit.bench import PROCESS, Hand
from tests.kit.journals import framed

GOOD, ODD = "20260301-090000-aaaaaa", "20260301-090001-bbbbbb"
NOW = datetime.now(UTC).astimezone()
AT, TODAY = NOW.isoformat(timespec="milliseconds"), NOW.date().isoformat()


def bench_lines(plate: str, stage: str = "fix", **changed: Any) -> list[ev.AnyEvent]:
    """Return the lines of a plate of this bench in this stage; `changed` are members of its start."""
    hand = Hand()
    hand.to_stage(stage)
    first, *rest = hand.lines["p1"]
    members: dict[str, Any] = {"bench": paths.bench_id(), "plate": plate, "at": AT, **changed}
    return [msgspec.structs.replace(first, **members), *rest]


def with_members(line: ev.AnyEvent, **members: Any) -> bytes:
    """Return the bytes of a line with other members, of any type, and a right sum."""
    plain = json.loads(encode(line)) | members
    del plain["sum"]
    return framed(json.dumps(plain)[1:-1])


def write(home: Path, plate: str, lines: Sequence[ev.AnyEvent | bytes], day: str = TODAY) -> Path:
    """Write a plate's journal into the folder of a day; return its path."""
    path = _place(home, plate, day)
    path.write_bytes(b"".join(line if isinstance(line, bytes) else encode(line) for line in lines))
    return path


def _place(home: Path, plate: str, day: str = TODAY) -> Path:
    path = paths.plate_path(home, plate, day)
    path.parent.mkdir(parents=True, exist_ok=True)
    return path


def _moved(path: Path, day: str) -> None:
    """Move a journal into a folder of this name."""
    folder = path.parents[2] / day[:4] / day
    folder.mkdir(parents=True)
    path.rename(folder / path.name)


def _start(**members: Any) -> Callable[[Path], None]:
    """Return what writes a plate whose first line has these members."""

    def make(home: Path) -> None:
        first, *rest = bench_lines(ODD)
        write(home, ODD, [with_members(first, **members), *rest])

    return make


def _every(**members: Any) -> Callable[[Path], None]:
    """Return what writes a plate each of whose lines has these members, of another start of the machine."""

    def make(home: Path) -> None:
        write(home, ODD, [with_members(line, **members) for line in bench_lines(ODD, boot="another")])

    return make


def _after(kind: type[Any], count: int = 1, **members: Any) -> Callable[[Path], None]:
    """Return what writes a plate with further lines of a kind, in a row, each a millisecond later."""

    def make(home: Path) -> None:
        lines = bench_lines(ODD)
        more = [kind(n=len(lines) + k, at=AT, up=400.0 + k / 1000.0, **members) for k in range(1, count + 1)]
        write(home, ODD, [*lines, *more])

    return make


def _of_newer(home: Path) -> None:
    lines = bench_lines(ODD)
    more = with_members(lines[-1], n=len(lines) + 1, event="hologram", depth=[1, 2])
    write(home, ODD, [*lines, more])


def _unknown_stage(home: Path) -> None:
    *lines, last = bench_lines(ODD)
    write(home, ODD, [*lines, with_members(last, stage="nowhere")])


def _twice(home: Path) -> None:
    write(home, ODD, bench_lines(ODD))
    write(home, ODD, bench_lines(ODD), day=(NOW - timedelta(days=1)).date().isoformat())


def _giant_first(home: Path) -> None:
    write(home, ODD, [b"{" + b"x" * 8_000_000 + b"\n", *bench_lines(ODD)])


def _fifo(home: Path) -> None:
    os.mkfifo(_place(home, ODD))


STAYS_AWAY: dict[str, tuple[Callable[[Path], object], str]] = {
    "first line lost": (lambda home: write(home, ODD, bench_lines(ODD)[1:]), "first line is lost"),
    "newer schema": (_start(schema=9), "newer darkroom"),
    "number a text": (_start(number="seven"), "first line is lost"),
    "process a number": (_start(process=5), "first line is lost"),
    "process empty": (_start(process={}), "cannot be gone on with"),
    "stages are numbers": (_start(process={**PROCESS, "stages": [1, 2]}), "cannot be gone on with"),
    "plan of no kind": (_start(plan={"steps": [], "between": "whenever"}), "first line is lost"),
    "all taken back": (_after(ev.Undone, undoes=list(range(1, 99)), held=False), "first line is lost"),
    "start of another": (lambda home: write(home, ODD, bench_lines(GOOD)), "that of another plate"),
    "lead-in before time": (
        _after(ev.LeadInStarted, stage="wash", seconds=-1e308), "cannot be gone on with"),
    "unknown stage": (_unknown_stage, "a stage its process does not have"),
    "no boot clock": (_every(up=None), "no time on the boot clock"),
    "a day that no month has": (
        lambda home: _moved(write(home, ODD, bench_lines(ODD)), "2099-13-45"), "that of no day: 2099-13-45"),
    "a folder": (lambda home: _place(home, ODD).mkdir(), "a folder"),
    "a pipe": (_fifo, "not a plain file"),
    "a device": (lambda home: _place(home, ODD).symlink_to("/dev/zero"), "not a plain file"),
    "a link to itself": (lambda home: _place(home, ODD).symlink_to(_place(home, ODD)), "cannot be read"),
}  # fmt: skip
"""{what is wrong: (what writes it as `ODD`, what the quiet line says)}: their plates stay away."""

COMES_BACK: dict[str, Callable[[Path], object]] = {
    "boot clock beyond reach": _every(up=1e17),
    "boot clock before all": _every(up=-1e17),
    "wall clock a word": _every(at="yesterday"),
    "wall clock of year 1": _every(at="0001-01-01T00:00:00.000+23:59"),
    "wall clock of year 9999": _every(at="9999-12-31T23:59:59.999-23:59"),
    "half a century ago": _every(at="1970-01-01T00:00:05.000+00:00"),
    "number of 30 digits": _start(number=10**30),
    "number below zero": _start(number=-7),
    "no speed": _start(speed=0),
    "wet time below zero": _start(wet_time=-1e300),
    "newer events": _of_newer,
    "moved to before all": _after(ev.Moved, moves=[1, 2, 3, 4], seconds=-1e17),
    "a gap of ages": _after(ev.Resumed, gap=1e17, by="wall", boot="another"),
    "10,000 marks": _after(ev.Mark, 10_000),
    "10,000 refusals": _after(ev.Refused, 10_000, intent="go", reason="too soon"),
    "giant first line": _giant_first,
    "two with one id": _twice,
    "backwards": lambda home: write(home, ODD, bench_lines(ODD)[::-1]),
}
"""{what is odd: what writes it as `ODD`} : their plates come back all the same."""
