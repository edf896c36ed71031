"""A log with three plates, and where its exports go."""

from __future__ import annotations

from tests.kit.export_fixtures import export, out, season

__all__ = ["export", "out", "season"]
