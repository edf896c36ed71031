"""A sound server and what it plays, for tests that listen; the tool at the bench in a terminal."""

from __future__ import annotations

from tests.kit.sound_fixtures import capture, ear, listening, recordings, server, told
from tests.kit.tool_fixtures import tool

__all__ = ["capture", "ear", "listening", "recordings", "server", "told", "tool"]
