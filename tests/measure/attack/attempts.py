"""What an attack counts: attempts, those that failed, and figures worth keeping; and where the tool is."""

from __future__ import annotations

import importlib
import sys
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

Told = TypeVar("Told")
KEPT = 20
"""Failures of an attack that are printed; all are counted."""


@dataclass
class Attempts:
    """Counts the attempts of one attack; `figures` are measured values that are printed beside them."""

    tried: int = 0
    failed: int = 0
    failures: list[str] = field(default_factory=list)
    figures: dict[str, str] = field(default_factory=dict)
    left_out: str | None = None

    def expect(self, condition: bool, failure: str) -> bool:
        """Count one attempt, which failed unless `condition` holds; return the condition."""
        self.tried += 1
        if not condition:
            self.failed += 1
            if len(self.failures) < KEPT:
                self.failures.append(failure)
        return condition

    def many(self, tried: int, failures: Sequence[str]) -> None:
        """Count `tried` attempts, of which those that `failures` tells of failed."""
        self.tried += tried
        self.failed += len(failures)
        self.failures += failures[: max(0, KEPT - len(self.failures))]

    def side_by_side(self, parts: Sequence[Callable[[Attempts], Told]], at_once: int = 2) -> list[Told]:
        """Run parts that count for themselves, some at a time; add their counts, return what they return."""
        counts = [Attempts() for _ in parts]
        with ThreadPoolExecutor(at_once) as pool:
            returned = list(pool.map(lambda part, counted: part(counted), parts, counts))
        for counted in counts:
            self.many(counted.tried, counted.failures)
            self.failed += counted.failed - len(counted.failures)
        return returned

    def leave_out(self, why: str) -> Attempts:
        """Say that this machine has not what the attack needs; return the attempts."""
        self.left_out = why
        return self


def tool() -> list[str]:
    """Return the installed tool: the command beside this interpreter, else the package itself."""
    command = Path(sys.executable).with_name("darkroom")
    return [str(command)] if command.exists() else [sys.executable, "-m", "darkroom"]


def timed(name: str, short: bool) -> tuple[Attempts, float]:
    """Run one attack; return what it counted and the seconds it took. One that cannot go on has failed."""
    start = time.monotonic()
    attempts = Attempts()
    try:
        attempts = importlib.import_module(f"tests.measure.attack.{name}").attack(short)
    except Exception as error:
        attempts.expect(False, f"the attack itself ended: {type(error).__name__}: {error}")
    return attempts, time.monotonic() - start
