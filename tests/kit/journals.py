"""Plates for tests of the log: events of every kind, and a program that writes them."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import zlib
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from darkroom.bench import events as ev
from darkroom.log.journal.write import JournalWriter, NotSaved, Report, Saved, SavedAgain, Spilled
from darkroom.process.model import ExposurePlan

PLATE = "20260301-120000-abc123"
OTHER = "20260301-121500-def456"
DAY = "2026-03-01"
BENCH = "0123456789abcdef"
PYTHON = os.path.realpath(sys.executable)
"""The interpreter itself: a version manager's stand-in is a shell script, and floods strace."""

PROCESS: dict[str, Any] = {
    "name": "Trial",
    "temperatures": {"room": 20.0, "bath": 20.0, "developer": 20.0},
    "humidity": 50.0,
    "sensitive": {"from": "sensitise", "to": "fix"},
    "wet_window": {"from": "sensitise", "to": "develop", "time": 600.0, "temperature": 20.0, "humidity": 50.0,
                   "longest": 1200.0},
    "stages": [
        {"name": "coat", "light": "white", "ends": "by_eye", "starts": "on_strike", "expect": [10.0, 30.0]},
        {"name": "sensitise", "light": "red", "ends": "on_time", "at": "bath", "time": 210.0},
        {"name": "expose", "light": "covered", "ends": "exposure", "lead_in": 5.0},
        {"name": "develop", "light": "red", "ends": "on_time", "at": "developer", "time": 15.0,
         "lead_in": 5.0},
        {"name": "fix", "light": "white", "ends": "cleared", "clearing_factor": 2.0},
        {"name": "dry", "light": "white", "ends": "by_eye", "rack": True},
    ],
}  # fmt: skip


def at(up: float) -> str:
    """Return a wall time for an instant of the boot clock."""
    minutes, seconds = divmod(up, 60)
    return f"2026-03-01T{13 + int(minutes) // 60:02d}:{int(minutes) % 60:02d}:{seconds:06.3f}+01:00"


def started(plate: str = PLATE, **more: Any) -> ev.PlateStarted:
    """Return the first line of a plate."""
    members: dict[str, Any] = {
        "n": 1,
        "at": at(0.0),
        "up": 0.0,
        "plate": plate,
        "number": 7,
        "schema": 1,
        "version": "0.1.0",
        "bench": BENCH,
        "boot": "boot-a",
        "process": PROCESS,
        "temperatures": {"bath": (18.5, "hand")},
        **more,
    }
    return ev.PlateStarted(**members)


def plate_events(plate: str = PLATE, **more: Any) -> list[ev.AnyEvent]:
    """Return one plate from its first strike to its end, with an event of every kind."""
    n = iter(range(2, 100))

    def line(kind: type[Any], up: float | None, /, **members: Any) -> Any:
        return kind(n=next(n), at=at(up if up is not None else 900.0), up=up, **members)

    return [
        started(plate, plan=ExposurePlan(steps=(2.0, 2.0), between="run_on"), subject="Gartenhaus", **more),
        line(ev.StageStarted, 0.0, stage="coat", planned=None, celsius=20.0),
        line(ev.Acknowledged, 1.0, what="goggles", stage="sensitise"),
        line(ev.StageEnded, 20.0, stage="coat", seconds=20.0, planned=None, how="strike"),
        line(ev.StageStarted, 20.0, stage="sensitise", planned=210.0, celsius=18.5),
        line(ev.Temperature, 60.0, source="bath", celsius=18.7, from_="hand"),
        line(ev.Humidity, 61.0, percent=45.0, from_="hand"),
        line(ev.WetTimeSet, 62.0, seconds=540.0),
        line(ev.ExposureSet, 63.0, plan=ExposurePlan(seconds=8.0), aperture="f/5.6"),
        line(ev.StageEnded, 235.0, stage="sensitise", seconds=215.0, planned=210.0, how="strike"),
        line(ev.LeadInStarted, 250.0, stage="expose", seconds=5.0),
        line(ev.StageStarted, 255.0, stage="expose", planned=8.0, celsius=20.0, wet_left=525.0),
        line(ev.StageEnded, 263.0, stage="expose", seconds=8.0, planned=8.0, how="zero", exposed=8.0),
        line(ev.Undone, 264.0, undoes=(13,), held=True),
        line(ev.StageEnded, 270.0, stage="expose", seconds=15.0, planned=8.0, how="strike"),
        line(ev.Refused, 270.5, intent="go", reason="it went on by itself"),
        line(ev.LeadInStarted, 280.0, stage="develop", seconds=5.0),
        line(ev.StageStarted, 285.0, stage="develop", planned=15.0, celsius=20.0),
        line(ev.Mark, 290.0),
        line(ev.StageEnded, 301.0, stage="develop", seconds=16.0, planned=15.0, how="strike"),
        line(ev.StageStarted, 301.0, stage="fix", planned=None, celsius=20.0),
        line(ev.Moved, 303.0, moves=(20, 21), seconds=-5.0),
        line(ev.Cleared, 330.0, stage="fix", seconds=34.0),
        line(ev.Clock, 340.0, kind="stepped", seconds=3600.0),
        line(ev.Resumed, 350.0, gap=10.0, by="up", boot="boot-a"),
        line(ev.StageEnded, 370.0, stage="fix", seconds=74.0, planned=68.0, how="strike"),
        line(ev.StageStarted, 370.0, stage="dry", planned=None, celsius=20.0),
        line(ev.Racked, 372.0),
        line(ev.PlateEnded, 380.0, how="unvarnished"),
        line(ev.Note, None, text='Ein Schleier links: \u201eBad zu warm?\u201c\n\u2028\u0000"\\', about=19),
        line(ev.Fault, None, name="fog", where="left edge"),
        line(ev.Rating, None, stars=3, exposure_stops=-0.5, best_strip=2),
        line(ev.Detail, None, key="scan", value="/scans/7.tif"),
    ]


def marks(first: int, count: int, words: str = "") -> list[ev.AnyEvent]:
    """Return `count` events numbered from `first`; `words` makes them longer."""
    made: list[ev.AnyEvent] = []
    for n in range(first, first + count):
        made.append(
            ev.Mark(n=n, at=at(n), up=float(n))
            if not words
            else ev.Refused(n=n, at=at(n), up=float(n), intent="go", reason=words)
        )
    return made


def framed(members: str) -> bytes:
    """Return a line made by hand after the contract: JSON members without braces, summed."""
    body = ("{" + members).encode("utf-8", "surrogatepass")
    return body + b',"sum":"%08x"}\n' % zlib.crc32(body)


def by_hand(data: bytes) -> list[dict[str, Any]]:
    """Read a journal with the standard library alone; every line must be whole and sound."""
    found = []
    assert data.endswith(b"\n")
    for line in data.split(b"\n")[:-1]:
        body, sign, rest = line.rpartition(b',"sum":"')
        assert sign and rest == b'%08x"}' % zlib.crc32(body)
        found.append(json.loads(line))
    return found


def path_of(fd: int) -> str:
    """Return the path of an open file."""
    if sys.platform == "darwin":
        import fcntl

        return fcntl.fcntl(fd, fcntl.F_GETPATH, bytes(1024)).rstrip(b"\0").decode()
    return os.readlink(f"/proc/self/fd/{fd}")


class ReportLog:
    """Keeps what a writer reports."""

    def __init__(self) -> None:
        """Nothing is reported yet."""
        self.all: list[Report] = []

    def __call__(self, report: Report) -> None:
        """Take a report."""
        self.all.append(report)

    def kinds(self) -> list[str]:
        """Return the names of the reports, `Saved` aside."""
        return [type(report).__name__ for report in self.all if not isinstance(report, Saved)]

    def saved(self, plate: str = PLATE) -> int:
        """Return the highest `n` reported saved."""
        return max(
            (saved.n for saved in self.all if isinstance(saved, Saved) and saved.plate == plate), default=0
        )

    def spilled(self) -> list[Spilled]:
        """Return where journals went on."""
        return [report for report in self.all if isinstance(report, Spilled)]


def eager_writer(home: Path, report: Callable[[Report], None], **options: Any) -> JournalWriter:
    """Return a writer that tries again at once."""
    return JournalWriter(home, report, **{"retry": 0.02, **options})


# --- a program of its own that writes a plate, for the faults that come from outside -----------


def child(
    home: Path, causes: int, *, wrap: Sequence[str] = (), env: dict[str, str] | None = None, words: int = 0
) -> subprocess.CompletedProcess[str]:
    """Run this file as a program under `wrap`; it prints what is reported, one word group a line."""
    command = [*wrap, PYTHON, __file__, str(home), str(causes), str(words)]
    python_path = {"PYTHONPATH": os.pathsep.join(path for path in sys.path if path)}
    return subprocess.run(
        command,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
        env={**os.environ, **python_path, **(env or {})},
    )


def acknowledged(output: str) -> int:
    """Return the highest `n` the program was told is saved."""
    numbers = [int(line.split()[1]) for line in output.splitlines() if line.startswith("saved ")]
    return max(numbers, default=0)


def reports(output: str) -> list[str]:
    """Return the other reports the program got, by name."""
    return [line.split()[0] for line in output.splitlines() if not line.startswith("saved ")]


def missing(*programs: str) -> str | None:
    """Return why a test cannot run here, or None."""
    lacking = [program for program in programs if _which(program) is None]
    return f"needs {', '.join(lacking)}" if lacking else None


def _which(program: str) -> str | None:
    return shutil.which(
        program, path=os.environ.get("PATH", "") + os.pathsep + "/usr/sbin" + os.pathsep + "/sbin"
    )


def program(name: str) -> str:
    """Return the path of a program known to be there."""
    found = _which(name)
    assert found is not None
    return found


def cause(number: int, words: int = 0) -> list[ev.AnyEvent]:
    """Return the lines of the `number`th cause of the program: two lines each, numbered on."""
    if number == 0:
        return [started(), *marks(2, 1)]
    return marks(2 * number + 1, 2, "x" * words)


def main() -> None:
    """Write so many causes, one after the other, and say what is reported."""
    home, causes, words = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])

    def say(report: Report) -> None:
        match report:
            case Saved():
                text = f"saved {report.n}"
            case NotSaved():
                text = f"not_saved {report.why}"
            case SavedAgain():
                text = "saved_again"
            case Spilled():
                text = f"spilled {report.path}"
        os.write(1, text.encode() + b"\n")

    writer = JournalWriter(home, say, retry=0.02)
    for number in range(causes):
        writer.write(PLATE, DAY, cause(number, words))
        writer.flush(0.2)
    writer.close(0.5)
    os.write(1, b"left\n" if writer.waiting() else b"all\n")


if __name__ == "__main__":
    main()
