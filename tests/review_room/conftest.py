"""A log of its own for each test of the review."""

from __future__ import annotations

from tests.catalogue.conftest import home, plates, settled

__all__ = ["home", "plates", "settled"]
