"""Commands whose standard output cannot take what they print."""

from __future__ import annotations

import subprocess
from collections.abc import Sequence
from pathlib import Path

COMMANDS: tuple[tuple[str, ...], ...] = (
    ("--help",), ("--version",), ("log", "--help"), ("log", "list"), ("log", "list", "--json"),
    ("log", "list", "--csv"), ("log", "show", "1"), ("log", "show", "1", "--json"),
    ("log", "check", "--json"), ("log", "compare", "1", "2"), ("log", "trends"), ("log", "trends", "--json"),
    ("process", "list"),
    ("process", "show", "tintype"), ("process", "times", "tintype", "--json"), ("ready",), ("day",),
    ("sound", "list"), ("strength", "silver-nitrate", "--density", "1.07"),
    ("strength", "silver-nitrate", "--percent", "8", "--to", "9", "--volume", "1L", "--json"),
)  # fmt: skip
"""They print something in a log of two plates or more."""
FULL = Path("/dev/full")
CLOSED = ("0", "1", "2", "01", "12", "012")
"""Numbers of standard streams that are closed together."""


def to_full_device(tool: Sequence[str], words: Sequence[str]) -> str | None:
    """Run a command whose output goes to a full device; return what is wrong, None for nothing."""
    with FULL.open("wb") as full:
        done = subprocess.run([*tool, *words], stdout=full, stderr=subprocess.PIPE, check=False, timeout=60)
    said = done.stderr.decode(errors="replace")
    last = "darkroom: the output was not written: No space left on device"
    if done.returncode != 2 or last not in said.splitlines() or "Traceback" in said:
        return f"{' '.join(words)}: status {done.returncode}: {said[-300:]}"
    return None


def lost_narration(tool: Sequence[str], words: Sequence[str]) -> str | None:
    """Run a command whose standard error goes to a full device; return what it changes, None for nothing."""
    plain = subprocess.run([*tool, *words], capture_output=True, check=False, timeout=60)
    with FULL.open("wb") as full:
        done = subprocess.run([*tool, *words], stdout=subprocess.PIPE, stderr=full, check=False, timeout=60)
    if (done.returncode, len(done.stdout.splitlines())) != (plain.returncode, len(plain.stdout.splitlines())):
        return f"{' '.join(words)}: status {done.returncode}, not {plain.returncode}: {done.stdout[-300:]!r}"
    return None


def with_closed_streams(tool: Sequence[str], words: Sequence[str], closed: str) -> str | None:
    """Run a command with the standard streams of these numbers closed; return what is wrong, or None.

    Closed output is told as a device that takes nothing; of a closed input nothing is said.
    """
    shut = " ".join(f"{number}>&-" for number in closed)
    done = subprocess.run(
        ["sh", "-c", f'exec "$@" {shut}', "sh", *tool, *words],
        stdin=subprocess.DEVNULL, capture_output=True, check=False, timeout=60,
    )  # fmt: skip
    said = (done.stdout + done.stderr).decode(errors="replace")
    untold = "1" in closed and "2" not in closed and "the output was not written: Bad file" not in said
    expected = (2,) if "1" in closed else (0, 1)
    if "Traceback" in said or "Exception" in said or untold or done.returncode not in expected:
        return f"{' '.join(words)} without {closed}: status {done.returncode}: {said[-300:]}"
    return None


def to_closed_pipe(tool: Sequence[str], words: Sequence[str]) -> str | None:
    """Run a command whose reader is gone; return what is wrong, None when nothing is said of it."""
    with subprocess.Popen([*tool, *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE) as program:
        assert program.stdout is not None and program.stderr is not None
        program.stdout.close()
        said = program.stderr.read().decode(errors="replace")
        status = program.wait(60)
    if "Traceback" in said or "Broken pipe" in said or "Exception" in said or status not in (0, 1):
        return f"{' '.join(words)}: status {status}: {said[-300:]}"
    return None
