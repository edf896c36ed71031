"""A sound server and what it plays, for tests that listen."""

from __future__ import annotations

from tests.kit.sound_fixtures import capture, ear, listening, recordings, server, told

__all__ = ["capture", "ear", "listening", "recordings", "server", "told"]
