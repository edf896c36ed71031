"""A disk that hangs or is full, as the system calls of a program see it (LD_PRELOAD)."""

from __future__ import annotations

import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Literal

SOURCE = Path(__file__).with_suffix(".c")


def why_not() -> str | None:
    """Return why no disk can fail so here, or None."""
    if sys.platform != "linux":
        return "LD_PRELOAD is used as on Linux"
    return None if shutil.which("gcc") else "gcc is not installed"


class FailingDisk:
    """Lets fsync wait, or write find no space, below some folders; `env` is for the program.

    `how` it fails: it hangs, or it is full.
    """

    def __init__(self, work: Path, folders: Sequence[Path], how: Literal["hangs", "full"]) -> None:
        """Compile the library in the folder `work`."""
        library, self._flag = work / "failing_disk.so", work / "the disk fails"
        if not library.exists():
            command = ["gcc", "-O2", "-shared", "-fPIC", "-o", str(library), str(SOURCE), "-ldl"]
            subprocess.run(command, check=True, timeout=60)
        self.env = {
            "LD_PRELOAD": str(library),
            "FAILING_FOLDERS": ":".join(map(str, folders)),
            "FAILING_WHILE": str(self._flag),
            "FAILING_HOW": how,
        }

    def fail(self) -> None:
        """Fail from now on."""
        self._flag.touch()

    def answer(self) -> None:
        """Work again."""
        self._flag.unlink(missing_ok=True)
