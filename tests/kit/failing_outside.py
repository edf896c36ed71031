"""Runs the tool, which fails outside its application while a line waits for a disk that hangs.

The environment is that of `failing_disk`.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

from darkroom import cli
from darkroom.screens import start
from darkroom.screens.services import Services
from tests.kit.journals import DAY, PLATE, started

WHAT = "made to fail"


def fail(services: Services) -> int:
    """Write a line that the disk does not take, and fail."""
    Path(os.environ["FAILING_WHILE"]).touch()
    services.journal_writer.write(PLATE, DAY, [started()])
    raise RuntimeError(WHAT)


if __name__ == "__main__":
    start._run = fail
    sys.exit(cli.main([]))
