"""A log that is not there yet, and a disk that fails."""

from __future__ import annotations

from tests.kit.log_fixtures import faulty, home

__all__ = ["faulty", "home"]
