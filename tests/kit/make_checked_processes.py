"""Makes the checked forms of the shipped process files: `python -m tests.kit.make_checked_processes`."""

from __future__ import annotations

from pathlib import Path

import msgspec

from darkroom.checked_processes import CheckedProcess, place_of
from darkroom.process.file.profile import parse
from darkroom.resources import shipped_processes


def content(path: Path) -> bytes:
    """Return what the checked form of a process file holds. Raises ProcessError where the file is wrong."""
    text = path.read_bytes()
    return msgspec.json.encode(CheckedProcess(text.decode(), parse(text, str(path)))) + b"\n"


if __name__ == "__main__":
    for shipped in shipped_processes():
        place_of(shipped).parent.mkdir(exist_ok=True)
        place_of(shipped).write_bytes(content(shipped))
