"""Runs the command line as the console does, with interrupts while helpers fill the catalogue.

    interrupted_helpers.py WHEN WORD…

Batches are so small that a short log is shared among helpers. SIGINT goes to the whole group of processes,
as a terminal sends it for ctrl-c. WHEN is `start`: as each helper is started; `work`: after the first batch
was stored; `twice`: then and while the helpers end.
"""

from __future__ import annotations

import os
import signal
import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing.process import BaseProcess
from typing import Any

from darkroom import cli
from darkroom.log.catalogue import fill
from darkroom.log.catalogue.keeping_up import KeptCatalogue


def interrupt_after(owner: type, name: str) -> None:
    """Have each call of a method followed by an interrupt."""
    method = getattr(owner, name)

    def interrupted(*args: Any, **kwargs: Any) -> Any:
        result = method(*args, **kwargs)
        os.killpg(0, signal.SIGINT)
        return result

    setattr(owner, name, interrupted)


MOMENTS = {
    "start": [(BaseProcess, "start")],
    "work": [(KeptCatalogue, "_put")],
    "twice": [(KeptCatalogue, "_put"), (ProcessPoolExecutor, "shutdown")],
}

if __name__ == "__main__":
    fill.BATCH_SIZE, fill.LEAST_BATCHES_FOR_HELPERS = 5, 2
    os.cpu_count = lambda: 2
    for place in MOMENTS[sys.argv.pop(1)]:
        interrupt_after(*place)
    cli.run()
