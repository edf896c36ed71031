"""A sound server of our own, and what it plays."""

from __future__ import annotations

from tests.kit.sound_fixtures import capture, ear, listening, recordings, server, told

__all__ = ["capture", "ear", "listening", "recordings", "server", "told"]
