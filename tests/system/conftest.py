"""The sound tests' server and recording, for whole runs of the tool."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest


@pytest.fixture
def heard() -> Iterator[tuple[Any, Any]]:
    """A PulseAudio server of our own and what it plays; skipped by name where it is missing."""
    pytest.importorskip("numpy", reason="numpy analyses the recorded sound")
    from tests.kit import sound_recording

    lacking = sound_recording.missing()
    if lacking is not None:
        pytest.skip(f"{lacking} is not installed: nothing can be recorded")
    server = sound_recording.Server()
    server.start()
    capture = sound_recording.Capture(server)
    yield server, capture
    capture.close()
    server.close()
