"""Whose the terminal is, and stopping as a job does: a job in the background takes none of its modes.

A job that no shell looks after is stopped by no signal of a terminal: nobody would let it go on. One that
loses its shell while it runs finds out when a key is typed, and ends.
"""

from __future__ import annotations

import os
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path

from darkroom.errors import WrongUse

_AGAIN = 0.1
"""Seconds between two looks, where the shell lets a job in the background go on."""
NOBODY_ASKS = "the terminal is another job's, and no shell looks after this one to bring it to the front"


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

    A parent that lets jobs in the background write (it ignores the signal) is obeyed. Raises WrongUse
    where no shell can bring this job to the front.
    """
    while in_background(fd) and signal.getsignal(signal.SIGTTOU) is not signal.SIG_IGN:
        if is_orphaned():
            raise WrongUse(NOBODY_ASKS)
        os.kill(os.getpid(), signal.SIGTTOU)
        time.sleep(_AGAIN)


def stop_before_reading(fd: int, ended: threading.Event) -> bool:
    """Stop, as the system stops a job in the background that reads, until this one is in front again.

    Return whether it stopped: what was typed in the meantime was for another job, and is dropped. Where no
    shell looks after this job it does not: the read then tells that there is no terminal any more.
    """
    was_behind = False
    while in_background(fd) and not ended.is_set() and not is_orphaned():
        was_behind = True
        os.kill(os.getpid(), signal.SIGTTIN)
        ended.wait(_AGAIN)
    if was_behind and not in_background(fd):
        import termios

        with suppress(termios.error):
            termios.tcflush(fd, termios.TCIFLUSH)
    return was_behind


def on_stop(action: signal.Handlers) -> None:
    """Ignore the signal that stops a job, or let it stop this one. Only the main thread can."""
    if hasattr(signal, "SIGTSTP"):
        with suppress(ValueError):
            signal.signal(signal.SIGTSTP, action)


def stop_as_a_job(is_wanted: Callable[[], bool]) -> None:
    """Stop as SIGTSTP does by default; return when the process goes on, at once where it is not stopped.

    `is_wanted` is asked at the last moment; the system drops a SIGCONT that comes in the microseconds between
    that and the stop. Only the main thread may call this.
    """
    handler = signal.signal(signal.SIGTSTP, signal.SIG_DFL)
    if is_wanted():
        os.kill(os.getpid(), signal.SIGTSTP)
    signal.signal(signal.SIGTSTP, handler)


def is_orphaned() -> bool:
    """Return whether no shell looks after this job, so that the system drops signals that would stop it.

    So it is when each process of the group has its parent in the group or in another session (POSIX.1-2017,
    base definitions, "Orphaned Process Group"). False where that cannot be known.
    """
    if sys.platform == "win32" or _looks_after(os.getppid()):
        return False
    parents = list(_parents_of_the_group())
    return bool(parents) and not any(map(_looks_after, parents))


def _looks_after(parent: int) -> bool:
    """Return whether a process is in this session, and in another group than this one."""
    try:
        return os.getpgid(parent) != os.getpgrp() and os.getsid(parent) == os.getsid(0)
    except OSError:  # it has ended
        return False


def _parents_of_the_group() -> Iterator[int]:
    """Yield the parents of the processes of this group; none where that cannot be known."""
    own_group = os.getpgrp()
    for path in Path("/proc").glob("[0-9]*/stat"):
        with suppress(OSError, ValueError):  # it has ended meanwhile
            state, parent, group = path.read_text(errors="replace").rpartition(")")[2].split()[:3]
            if int(group) == own_group and state not in "XZ":
                yield int(parent)
    if os.getsid(0) == os.getpid():  # no other process of its session can be the parent of its leader
        yield os.getppid()
