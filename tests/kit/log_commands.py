"""Running `darkroom log` in tests, and reading journals without it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from tests.kit.command_line import Capture, run

__all__ = ["Capture", "journal", "last", "listed", "run_log"]


def run_log(capsys: Capture, *words: str) -> tuple[int, str, str]:
    """Run `darkroom log`; return status, standard output and standard error."""
    return run(capsys, "log", *words)


def listed(capsys: Capture, *words: str) -> list[dict[str, Any]]:
    """Return what `log list --json` says."""
    plates = json.loads(run_log(capsys, "list", "--json", *words)[1])
    assert isinstance(plates, list)
    return plates


def journal(path: Path) -> list[dict[str, Any]]:
    """Return a journal's lines, read with the standard library alone."""
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]


def last(lines: Sequence[dict[str, Any]], event: str) -> dict[str, Any] | None:
    """Return the last line of an event."""
    return next((line for line in reversed(lines) if line["event"] == event), None)
