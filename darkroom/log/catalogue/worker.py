"""A process that fills the catalogue: `python -m darkroom.log.catalogue.worker FOLDER`.

It writes nothing but the catalogue, has no terminal, and runs at a lower priority than the bench.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from darkroom.log.catalogue.helper_processes import interrupts_blocked

GIVE_WAY = 10
"""Added to its niceness (POSIX `nice`)."""


@contextmanager
def running(home: Path) -> Iterator[subprocess.Popen[bytes]]:
    """Start the process for the log in `home`; it is ended with the block where it still runs."""
    nothing = subprocess.DEVNULL
    with interrupts_blocked():
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
    """Fill the catalogue of the log in `home`."""
    from darkroom.log.catalogue.catalogue import Catalogue

    if hasattr(os, "nice"):
        os.nice(GIVE_WAY)
    with Catalogue(home) as catalogue:
        catalogue.check(helpers=min(4, os.cpu_count() or 1))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
