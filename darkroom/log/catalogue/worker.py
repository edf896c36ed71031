"""Filling the catalogue by a program of its own, quietly: `python -m darkroom.log.catalogue.worker FOLDER`.

It writes nothing but the catalogue, in no terminal, and gives way to everything else on the machine.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

GIVE_WAY = 10
"""So much nicer than the bench it is (POSIX `nice`)."""


@contextmanager
def begun(home: Path) -> Iterator[subprocess.Popen[bytes]]:
    """Begin it for the log in `home`; it is ended with the block where it has not ended by itself."""
    nothing = subprocess.DEVNULL
    program = subprocess.Popen(
        [sys.executable, "-m", "darkroom.log.catalogue.worker", str(home)],
        stdin=nothing,
        stdout=nothing,
        stderr=nothing,
        start_new_session=True,
    )
    try:
        yield program
    finally:
        if program.poll() is None:
            with suppress(OSError):  # it may end by itself just now
                if hasattr(os, "killpg"):
                    os.killpg(program.pid, signal.SIGTERM)  # with the helpers it has
                else:
                    program.terminate()
        program.wait()


def main(home: Path) -> None:
    """Fill it."""
    from darkroom.log.catalogue.catalogue import Catalogue

    if hasattr(os, "nice"):
        os.nice(GIVE_WAY)
    with Catalogue(home) as catalogue:
        catalogue.check(helpers=min(4, os.cpu_count() or 1))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
