"""Whose the terminal is: a job in the background draws nothing on it and takes none of its modes."""

from __future__ import annotations

import os
import signal
import sys
import time

_AGAIN = 0.1
"""Seconds between two looks where the stop has no effect, as in a job that no shell looks after."""


def in_background(fd: int) -> bool:
    """Return whether the terminal belongs to another job."""
    if sys.platform == "win32":
        return False
    try:
        return os.tcgetpgrp(fd) != os.getpgrp()
    except OSError:  # no terminal, or not the one that controls the process
        return False


def wait_for_foreground(fd: int) -> None:
    """Stop, as the system stops a job that would write, until the shell brings this one to the front.

    A parent that lets jobs in the background write (it ignores the signal) is obeyed.
    """
    while in_background(fd) and signal.getsignal(signal.SIGTTOU) is not signal.SIG_IGN:
        os.kill(os.getpid(), signal.SIGTTOU)
        time.sleep(_AGAIN)
