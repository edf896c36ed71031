"""Files of a plate put into a log as they are given, and the problems reading them finds."""

from __future__ import annotations

from pathlib import Path

from darkroom.bench import events as ev
from darkroom.log.journal import frame
from darkroom.log.journal.merge import PlateLog
from darkroom.log.store import paths
from tests.kit.journals import DAY, PLATE, at


def put(home: Path, data: bytes, k: int = 1, plate: str = PLATE, folder: Path | None = None) -> Path:
    """Write the bytes of one file of a plate; return the path of the first."""
    first = paths.plate_path(home, plate, DAY)
    path = (folder or first.parent) / (first.name if k == 1 else f"{plate}.{k}.jsonl")
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    path.write_bytes(data)
    return first


def continued(saved: int = 0, plate: str = PLATE, home: str | None = None) -> bytes:
    """Return the first line of a further file."""
    return frame.encode(ev.Continued(n=0, at=at(0), up=0.0, plate=plate, saved=saved, why="trial", home=home))


def whats(log: PlateLog) -> list[tuple[int | None, str]]:
    """Return (line, what) of each problem."""
    return [(problem.line, problem.what) for problem in log.problems]
