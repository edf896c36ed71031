"""A sound server and what it plays, for tests that listen."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from tests.kit.sound_fixtures import capture, listening, recordings, server, told

__all__ = ["capture", "heard", "listening", "recordings", "server", "told"]


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
