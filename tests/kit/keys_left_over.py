"""`python keys_left_over.py FILE SECONDS WORD…`: runs a program, then reads what the terminal still sends.

What a shell would take for typed keys in the seconds after the program's end is written into FILE, byte for
byte; FILE is there when they have passed. It ends with the program's status, 128 + the number of a signal.
"""

from __future__ import annotations

import os
import select
import subprocess
import sys
import time
import tty
from pathlib import Path


def main(path: Path, seconds: float, words: list[str]) -> int:
    """Run the program and wait for its end, then for keys; return its status."""
    status = subprocess.run(words, check=False).returncode
    import termios

    tty.setraw(0, termios.TCSANOW)  # what has come already stays and can be read: no line end is waited for
    keys = b""
    end = time.monotonic() + seconds
    while (left := end - time.monotonic()) > 0:
        if select.select([0], [], [], left)[0]:
            keys += os.read(0, 4096)
    waiting = path.with_suffix(".part")
    waiting.write_bytes(keys)
    waiting.rename(path)
    return status if status >= 0 else 128 - status


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), float(sys.argv[2]), sys.argv[3:]))
