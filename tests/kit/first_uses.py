"""The tool, with every type written down that msgspec gets to know later than at import.

    python first_uses.py FILE WORD…

Two threads that are both the first to use a type end the program; a type that is known when its module has
been imported has no first use.
"""

from __future__ import annotations

import sys
import threading
from pathlib import Path
from types import FrameType


def watch(told: Path) -> None:
    """Append to a file the name of each type that msgspec looks into outside an import, in any thread."""

    def called(frame: FrameType, what: str, _: object) -> None:
        if what == "call" and frame.f_code.co_name == "get_class_annotations" and not _importing(frame):
            name = getattr(frame.f_locals.get("obj"), "__qualname__", "?")
            with told.open("a") as file:
                file.write(f"{name} in {threading.current_thread().name}\n")

    threading.setprofile(called)
    sys.setprofile(called)


def _importing(frame: FrameType | None) -> bool:
    while frame is not None:
        if frame.f_code.co_filename == "<frozen importlib._bootstrap>":
            return True
        frame = frame.f_back
    return False


if __name__ == "__main__":
    watch(Path(sys.argv[1]))
    sys.argv[1:] = sys.argv[2:]
    from darkroom.cli import run

    run()
