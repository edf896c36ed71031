"""The named conditions of a filter."""

from __future__ import annotations

from darkroom.process.model import SOURCES

STATES = ("done", "unvarnished", "abandoned", "bench", "rack")

FILTERS: dict[str, str] = {
    "process": "a part of its name",
    "fault": "a part of its name",
    "stars": "4, or 3..5",
    "on": "2026, 2026-03 or 2026-03-01",
    "since": "a day, a month or a year",
    "until": "a day, a month or a year",
    "state": ", ".join(STATES),
    **{source: "18..20 °C" for source in SOURCES},
}
"""{name of a condition: the values it takes}."""
