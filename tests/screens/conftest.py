"""A log of its own for each test of the review."""

from __future__ import annotations

from tests.kit.log_fixtures import home, plates, settled

__all__ = ["home", "plates", "settled"]
