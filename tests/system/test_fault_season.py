"""A run of forty plates: fog from plate 31 on is judged, explained, changed for, and its cause confirmed."""

from __future__ import annotations

import json
import re
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.kit.fault_season import FAULT, FIRST_FOG, LAST_FOG, PLATES, day_of, shelve_plate
from tests.kit.photographer import run

pytestmark = [pytest.mark.system, pytest.mark.slow]


def told(home: Path, *words: str) -> str:
    """Run a command that must succeed; return what it printed."""
    done = run(home, *words)
    assert done.returncode == 0, (words, done.stdout, done.stderr)
    return done.stdout


def mix(home: Path, last_day: datetime) -> dict[str, str]:
    """Mix the bottles of the season, the new developer before plate 31; return {name: id}."""
    begun = day_of(1, last_day) - timedelta(days=1)
    for recipe, name, volume, when in (
        ("silver-bath", "B-1", "2L", begun - timedelta(days=9)),
        ("collodion-without-cadmium", "C-1", "500 mL", begun - timedelta(days=9)),
        ("developer-summer", "D-3", "1L", begun),
        ("hypo", "F-1", "2L", begun),
        ("developer-summer", "D-4", "1L", day_of(FIRST_FOG, last_day) - timedelta(minutes=30)),
    ):
        told(home, "mix", recipe, "--make", volume, "--bottle", name, "--when", when.isoformat(), "--yes")
    told(home, "bottle", "opened", "C-1", "--when", begun.isoformat())
    listed = json.loads(told(home, "bottle", "list", "--json"))
    return {bottle["name"]: bottle["bottle"] for bottle in listed}


def why(home: Path, number: int) -> dict[str, Any]:
    """Return what `fault why` prints of a plate as JSON."""
    answer: dict[str, Any] = json.loads(told(home, "fault", "why", str(number), "--json"))
    return answer


def test_fog_after_a_new_developer(tmp_path: Path) -> None:
    """It says since when and what was new, ranks the causes, advises one change, and the cause is confirmed."""
    home = tmp_path / "home"
    home.mkdir()
    last_day = datetime.now().astimezone().replace(hour=9, minute=0, second=0, microsecond=0)
    last_day -= timedelta(days=1)
    ids = mix(home, last_day)
    for number in range(1, LAST_FOG + 1):
        shelve_plate(home, number, last_day, ids)
    print(told(home, "fault", "why", str(LAST_FOG)))
    print(json.dumps(why(home, LAST_FOG), indent=1))
    assert FAULT and PLATES and re
