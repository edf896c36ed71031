"""Runs the command line as the console does, with an interrupt: `interrupted_run.py MODULE WORD…`.

The interrupt (SIGINT) comes at the moment at which MODULE is to be read. With IGNORED in the environment the
process ignores interrupts from its start, as one that a script starts in the background.
"""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Sequence
from importlib.abc import MetaPathFinder
from types import ModuleType

from darkroom import cli

IGNORED = "INTERRUPT_IGNORED"


class Interrupting(MetaPathFinder):
    """Finds no module; sends the interrupt when one of a name is looked for."""

    def __init__(self, name: str) -> None:
        """Wait for the name."""
        self.name = name

    def find_spec(self, name: str, path: Sequence[str] | None, target: ModuleType | None = None) -> None:
        """Send the interrupt once when it is the name."""
        if name == self.name:
            self.name = ""
            os.kill(os.getpid(), signal.SIGINT)


if __name__ == "__main__":
    if IGNORED in os.environ:
        signal.signal(signal.SIGINT, signal.SIG_IGN)
    module = sys.argv.pop(1)
    assert module not in sys.modules, module
    sys.meta_path.insert(0, Interrupting(module))
    cli.run()
