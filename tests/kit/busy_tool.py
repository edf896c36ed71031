"""Runs the tool, whose main thread another one keeps from going on: `busy_tool.py FILE WORD…`.

When FILE is made, a thread removes it and keeps Python's lock for `BUSY` seconds, so that signals wait
together for the main thread. The words are those of the command line.
"""

from __future__ import annotations

import sys
import threading
import time
from pathlib import Path

from darkroom.cli import main

LOOK = 0.02
"""Seconds between two looks for the file."""
BUSY = 2.0


def keep_busy(file: Path) -> None:
    """Keep Python's lock whenever the file is made."""
    usual = sys.getswitchinterval()
    while True:
        time.sleep(LOOK)
        if file.exists():
            sys.setswitchinterval(10 * BUSY)
            file.unlink()
            end = time.monotonic() + BUSY
            while time.monotonic() < end:  # nothing in here gives the lock away
                pass
            sys.setswitchinterval(usual)


if __name__ == "__main__":
    threading.Thread(target=keep_busy, args=(Path(sys.argv[1]),), daemon=True).start()
    sys.exit(main(sys.argv[2:]))
