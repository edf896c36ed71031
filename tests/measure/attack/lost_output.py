"""The output of every command to a full device, a closed pipe, a closed stream; its narration too."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path
from unittest import mock

from tests.kit import outputs, season
from tests.measure.attack.attempts import Attempts, tool


def attack(short: bool) -> Attempts:
    """Run the commands, with and without buffers of the interpreter."""
    attempts = Attempts()
    if not outputs.FULL.exists():
        return attempts.leave_out("no full device here")
    plates = 20 if short else 400
    with tempfile.TemporaryDirectory() as name:
        season.write(Path(name), plates, seed=3, days=20)
        for unbuffered in ("", "1"):
            surroundings = {"DARKROOM_HOME": name, "PYTHONUNBUFFERED": unbuffered}
            with mock.patch.dict(os.environ, surroundings):
                for words in outputs.COMMANDS[:: 5 if short else 1]:
                    for run in (outputs.to_full_device, outputs.to_closed_pipe, outputs.lost_narration):
                        wrong = run(tool(), words)
                        attempts.expect(wrong is None, wrong or "")
                    for closed in outputs.CLOSED[:: 3 if short else 1]:
                        wrong = outputs.with_closed_streams(tool(), words, closed)
                        attempts.expect(wrong is None, wrong or "")
    return attempts
