"""What the tests of the catalogue share."""

from __future__ import annotations

import os
from pathlib import Path

from darkroom.bench import events as ev
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.database import NAME
from darkroom.log.journal import frame


def fresh(home: Path) -> dict[str, list[tuple[object, ...]]]:
    """Return what a catalogue made from nothing says of the same journals."""
    kept = home / NAME
    aside = home.parent / "aside.sqlite"
    for end in ("", "-wal", "-shm"):
        if (kept.parent / f"{NAME}{end}").exists():
            os.replace(kept.parent / f"{NAME}{end}", f"{aside}{end}")
    try:
        with Catalogue(home) as catalogue:
            catalogue.check()
            return catalogue.content()
    finally:
        for end in ("", "-wal", "-shm"):
            (kept.parent / f"{NAME}{end}").unlink(missing_ok=True)
            if Path(f"{aside}{end}").exists():
                os.replace(f"{aside}{end}", kept.parent / f"{NAME}{end}")


def by_hand(path: Path, event: ev.AnyEvent) -> None:
    """Add a line to a journal as a text editor or a script would."""
    with path.open("ab") as file:
        file.write(frame.encode(event))


def note(n: int, text: str) -> ev.Note:
    """Return a note written at review."""
    return ev.Note(n=n, at="2026-11-01T09:00:00.000+01:00", up=None, text=text)
