"""A command run within bounds: seconds and memory are limited, and how much it took is told."""

from __future__ import annotations

import os
import signal
import subprocess
import tempfile
import time
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

MEMORY = 1 << 30
"""The address space a command may have, in bytes."""
SECONDS = 20.0


@dataclass(frozen=True)
class Run:
    """What a command did. `status` is None when it was killed after its time; `peak` is memory in bytes."""

    status: int | None
    out: bytes
    err: bytes
    peak: int
    seconds: float

    @property
    def text(self) -> str:
        """What it wrote, on both streams."""
        return (self.out + self.err).decode("utf-8", "replace")

    def wrong(self, statuses: Sequence[int] = (0, 1, 2), most: int = 320 << 20) -> str | None:
        """Return what no command may do: hang, end by a signal or a traceback, take much memory, or None."""
        if self.status is None:
            return f"hung for {self.seconds:.0f} s"
        if b"Traceback" in self.out + self.err:
            return "traceback: " + self.text.strip().splitlines()[-1][:200]
        if self.status not in statuses:
            return f"exit status {self.status}: {self.text[-200:]!r}"
        if self.peak > most:
            return f"took {self.peak >> 20} MB"
        if obeyed := [sign for sign in self.text if not (sign.isprintable() or sign in "\n\t")]:
            return f"wrote {obeyed[0]!r}"
        return None


def run(
    argv: Sequence[str | bytes], env: Mapping[str, str], seconds: float = SECONDS, cwd: Path | None = None,
    mask: int | None = None,
) -> Run:  # fmt: skip
    """Run a command with nothing to read; kill it and all it started after so many seconds."""

    bounds = f"ulimit -v {MEMORY >> 10}" + ("" if mask is None else f"; umask {mask:o}")
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        begun = time.monotonic()
        process = subprocess.Popen(
            ["sh", "-c", bounds + '; exec "$@"', "sh", *argv],
            stdin=subprocess.DEVNULL, stdout=out, stderr=err,
            env=dict(env), cwd=cwd, start_new_session=True,
        )  # fmt: skip
        status: int | None = None
        peak = 0
        while True:
            peak = max(peak, _peak(process.pid))
            pid, waited = os.waitpid(process.pid, os.WNOHANG)
            if pid:
                process.returncode = status = os.waitstatus_to_exitcode(waited)
                break
            if time.monotonic() - begun > seconds:
                os.killpg(process.pid, signal.SIGKILL)
                os.waitpid(process.pid, 0)
                process.returncode = -signal.SIGKILL
                break
            time.sleep(0.005)
        took = time.monotonic() - begun
        out.seek(0)
        err.seek(0)
        return Run(status, out.read(), err.read(), peak, took)


def _peak(pid: int) -> int:
    """Return the most memory that a process has had since it began its program, in bytes; 0 without /proc.

    The system's own account of a child (ru_maxrss) begins with what the test runner had when it forked.
    """
    with suppress(OSError, ValueError, IndexError):
        status = Path(f"/proc/{pid}/status").read_text()
        return int(status.split("VmHWM:")[1].split()[0]) * 1024
    return 0
