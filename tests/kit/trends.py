"""Rows for trends, made by hand."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from darkroom.log.trends.facts import PlateFacts, Rows
from darkroom.log.trends.stage_times import Gathered, StageFacts


def plate(name: str, **more: Any) -> PlateFacts:
    """Return a plate in air that was read."""
    return PlateFacts(name, name, **{"process": "Trial", "humidity": 50.0, "humidity_from": "hand", **more})


def stage(name: str, seconds: float, stars: int | None = None, **more: Any) -> StageFacts:
    """Return a development that a strike ended, at a developer that was read."""
    return StageFacts(
        **{
            "path": name,
            "plate": name,
            "process": "Trial",
            "stars": stars,
            "stage": "develop",
            "ends": "by_eye",
            "how": "strike",
            "seconds": seconds,
            "source": "developer",
            "celsius": 20.0,
            "origin": "hand",
            **more,
        }
    )


def rows(plates: Iterable[PlateFacts] = (), stages: Iterable[StageFacts] = (), **more: Any) -> Rows:
    """Return rows; every plate's room was read unless `rooms` says otherwise."""
    some, gathered = list(plates), Gathered()
    gathered.take(stages)
    return Rows(**{"plates": some, "stages": gathered, "rooms": {one.path: 20.0 for one in some}, **more})
