"""Running a command of the tool in this process."""

from __future__ import annotations

import json
from typing import Any

import pytest

from darkroom.cli import main

Capture = pytest.CaptureFixture[str]


def run(capsys: Capture, *words: str) -> tuple[int, str, str]:
    """Return (exit status, standard output, standard error) of a command."""
    status = main(list(words))
    out, err = capsys.readouterr()
    return status, out, err


def as_json(capsys: Capture, *words: str) -> Any:
    """Return what a command prints with --json, with exit status 0 and nothing else said."""
    status, out, err = run(capsys, *words, "--json")
    assert (status, err) == (0, "")
    return json.loads(out)
