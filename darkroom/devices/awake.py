"""Keeps the machine awake while it is asked to, where the platform allows it. Never waits, never raises.

On Linux `systemd-inhibit` holds logind's lock while a child of it reads from a pipe of ours, on macOS
`caffeinate` watches our process, on Windows a thread of ours holds the request. Each of them ends with this
process, however that ends. What a closed lid does is logind's to refuse; the other two cannot.
"""

from __future__ import annotations

import contextlib
import os
import subprocess
import sys
import threading
import time
from typing import NamedTuple

WHO, WHY = "darkroom", "a plate is on the bench"
SLEEP_AND_LID = "sleep, and what a closed lid does"
SLEEP_ALONE = "sleep, not what a closed lid does"
LOCKS = (
    ("sleep:idle:handle-lid-switch", SLEEP_AND_LID),
    ("sleep:idle", SLEEP_ALONE),
    ("idle", "the sleep of an idle machine, nothing else"),
)
"""(logind's names of locks, what they prevent): a session from afar may be refused the first."""
TRIAL = 5.0
"""A lock that was not taken in so many seconds is not to be had."""
BRIEF = 2.0
"""A child that ends by itself sooner than this, in seconds, was refused the lock."""

_ES_CONTINUOUS, _ES_SYSTEM_REQUIRED = 0x80000000, 0x00000001  # winbase.h


class Way(NamedTuple):
    """One way to keep the machine awake."""

    command: tuple[str, ...]
    """The program that takes the lock, and what it is told."""
    until: tuple[str, ...]
    """The rest of the command, which says how long: until our pipe is closed, or until our process ends."""
    prevents: str

    @property
    def prevents_all(self) -> bool:
        """True where the machine stays awake with its lid closed too."""
        return self.prevents == SLEEP_AND_LID


def ways(platform: str = sys.platform) -> tuple[Way, ...]:
    """Return the ways of a platform that are commands, the one that prevents most first."""
    if platform == "linux":
        named = (f"--who={WHO}", f"--why={WHY}", "--mode=block")
        return tuple(
            Way(("systemd-inhibit", f"--what={what}", *named), ("cat",), prevents) for what, prevents in LOCKS
        )
    if platform == "darwin":
        return (Way(("caffeinate", "-i", "-s"), ("-w", str(os.getpid())), SLEEP_ALONE),)
    return ()


def trial(platform: str = sys.platform) -> tuple[Way | None, str]:
    """Take the lock and let it go, for at most 5 s each way.

    Returns (the first way that works, ""), or (None, why none does).
    """
    if platform == "win32":
        taken = _request_windows(_ES_CONTINUOUS | _ES_SYSTEM_REQUIRED) and _request_windows(_ES_CONTINUOUS)
        way = Way((), (), SLEEP_ALONE)
        return (way, "") if taken else (None, "Windows refuses the request")
    why = f"none is known for this platform ({platform})"
    for way in ways(platform):
        try:
            done = subprocess.run(
                [*way.command, "true"],
                stdin=subprocess.DEVNULL,
                capture_output=True,
                timeout=TRIAL,
                start_new_session=True,
                check=False,
            )
        except FileNotFoundError:
            return None, f"{way.command[0]} is not installed"
        except subprocess.TimeoutExpired:
            return None, f"{way.command[0]}: no answer"
        except OSError as error:
            return None, f"{way.command[0]}: {error.strerror or error}"
        if done.returncode == 0:
            return way, ""
        lines = done.stderr.decode("utf-8", "replace").strip().splitlines()
        why = f"{way.command[0]}: {lines[-1] if lines else f'exit status {done.returncode}'}"
    return None, why


class SleepLock:
    """Keeps the machine awake between `hold` and `release`; both return at once, from any thread.

    A way that is refused gives way to the next one; when all are, nothing is held until the next `hold`
    after a `release`.
    """

    def __init__(self, platform: str = sys.platform) -> None:
        self.platform = platform
        self.refused = False
        """True when no way of this platform has worked since the last `release`."""
        self._changed = threading.Condition()
        self._wanted = self._closed = False
        self._number = 0
        """How many times it was held."""
        self._child: subprocess.Popen[bytes] | None = None
        self._thread: threading.Thread | None = None

    def hold(self) -> None:
        """Keep the machine awake from now on."""
        with self._changed:
            if self._wanted or self._closed:
                return
            self._wanted = True
            self._number += 1
            if self._thread is None:
                self._thread = threading.Thread(target=self._keep, name="awake", daemon=True)
                self._thread.start()
            self._changed.notify_all()

    def release(self) -> None:
        """Let the machine sleep from now on."""
        with self._changed:
            self._wanted = self.refused = False
            self._end(self._child)
            self._child = None
            self._changed.notify_all()

    def close(self) -> None:
        """Let the machine sleep, for good."""
        with self._changed:
            self._closed = True
        self.release()

    # --- the thread that holds it ----------------------------------------------------------------

    def _keep(self) -> None:
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._closed or (self._wanted and not self.refused))
                if self._closed:
                    return
                number = self._number
            if self.platform == "win32":
                held = self._hold_windows()
            else:
                held = any(map(self._run, ways(self.platform)))
            with self._changed:
                self.refused = self._wanted and not held and number == self._number

    def _run(self, way: Way) -> bool:
        """Hold the lock one way until it is released; return False when it was refused."""
        begun = time.monotonic()
        try:
            child = subprocess.Popen(
                [*way.command, *way.until],
                stdin=subprocess.PIPE,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                start_new_session=True,
                close_fds=True,
            )
        except OSError:
            return False
        with self._changed:
            if self._wanted:
                self._child = child
            else:
                self._end(child)
        child.wait()
        with self._changed:
            released = self._child is not child
            self._child = None
            self._end(child)
        return released or time.monotonic() - begun > BRIEF

    def _hold_windows(self) -> bool:
        """Hold the request, which belongs to this thread, until it is released."""
        if not _request_windows(_ES_CONTINUOUS | _ES_SYSTEM_REQUIRED):
            return False
        with self._changed:
            self._changed.wait_for(lambda: not self._wanted)
        return _request_windows(_ES_CONTINUOUS)

    @staticmethod
    def _end(child: subprocess.Popen[bytes] | None) -> None:
        """Close the pipe that keeps a child, and ask the child to end."""
        if child is None:
            return
        with contextlib.suppress(OSError, ValueError):
            if child.stdin is not None:
                child.stdin.close()
        with contextlib.suppress(OSError):
            child.terminate()


def _request_windows(flags: int) -> bool:
    """Tell Windows what this thread needs; return whether it was taken."""
    import ctypes

    windll = getattr(ctypes, "windll", None)
    if windll is None:
        return False
    windll.kernel32.SetThreadExecutionState.restype = ctypes.c_uint
    return bool(windll.kernel32.SetThreadExecutionState(ctypes.c_uint(flags)))
