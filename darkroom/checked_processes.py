"""The shipped process files as they were read and checked once, so that no start parses YAML.

`tests/kit/make_checked_processes.py` makes a file of JSON for each in `checked/` beside them: the whole text
of the process file, and the process that it describes. It counts only while the process file holds that
very text; anything else is read and checked as a file of one's own is.
"""

from __future__ import annotations

from pathlib import Path

import msgspec

from darkroom import plain_files
from darkroom.process.model import Process

FOLDER = "checked"
MOST = 1 << 20
"""No such file is longer, in bytes."""


class CheckedProcess(msgspec.Struct, frozen=True):
    """The `text` of a process file and the `process` in it."""

    text: str
    process: Process


_READER: msgspec.json.Decoder[CheckedProcess] = msgspec.json.Decoder(CheckedProcess)


def place_of(path: Path) -> Path:
    """Return where the checked form of a shipped process file lies."""
    return path.parent / FOLDER / f"{path.stem}.json"


def checked_process(path: Path, text: bytes) -> Process | None:
    """Return the process of a shipped file with this text, None where it is to be read from the text."""
    try:
        checked = _READER.decode(plain_files.read_start(place_of(path), MOST))
    except (OSError, ValueError):  # missing, or no such file: msgspec's errors are ValueErrors
        return None
    return checked.process if checked.text.encode() == text else None
