"""The figures that evidence is of, from journals and the book of bottles as they lie on disk."""

from __future__ import annotations

import time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from statistics import median
from typing import Any

import pytest

from darkroom.bench import events as ev
from darkroom.faults.evidence import MOST_EACH, figures_of
from darkroom.faults.evidence_names import NAMES
from darkroom.faults.history import PlateFigures
from darkroom.faults.usual import usual_plates
from darkroom.log.bottles.files import read_shelf
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.fault_history import fault_history
from darkroom.log.journal import append
from darkroom.process import timing
from darkroom.resources import fault_catalogue, load_process
from darkroom.solutions import events as bottle_events
from tests.kit.book_of_bottles import put_bottle
from tests.kit.fault_season import FAULT, FIRST_FOG, LAST_FOG, UNJUDGED, celsius_of, day_of, shelve_plate

PLATES_BEFORE = LAST_FOG - 1


def days_since(when: datetime) -> float:
    """Return how many days ago it was."""
    return (time.time() - when.timestamp()) / 86400


@pytest.fixture
def history(home: Path) -> list[PlateFigures]:
    """Return the run of forty plates, its bottles in the book, the image of plate 34 seen after 3 s."""
    last_day = datetime.now(UTC).replace(hour=9, minute=0, second=0, microsecond=0) - timedelta(days=1)
    mixed = day_of(1, last_day) - timedelta(days=10)
    filtered = (day_of(15, last_day) - mixed) / timedelta(days=1) - 0.01
    lives: dict[str, tuple[str, datetime, list[tuple[float, Any, dict[str, Any]]]]] = {
        "C-1": ("collodion", mixed, []),
        "B-1": ("bath", mixed, [(filtered, bottle_events.Treated, {"how": "filtered"})]),
        "D-3": ("developer", mixed, []),
        "D-4": ("developer", day_of(31, last_day) - timedelta(hours=1), []),
        "F-1": ("fixer", mixed, []),
    }
    ids = {
        name: put_bottle(home, name, what, days_since(made), happened, volume=1000.0)
        for name, (what, made, happened) in lives.items()
    }
    paths = [shelve_plate(home, number, last_day, ids) for number in range(1, 41)]
    seen = {"key": "first seen", "value": "3 s"}
    append.add(
        home,
        paths[LAST_FOG - 1],
        lambda n: ev.Detail(n=n, at="2026-05-20T20:00:00.000+02:00", up=None, **seen),
    )
    with Catalogue(home) as log:
        log.check()
        return fault_history(
            log, fault_catalogue()[0], read_shelf(home).bottles, {}, None, whole=[paths[LAST_FOG - 1].stem]
        )


def test_the_figures_of_a_foggy_plate(history: list[PlateFigures]) -> None:
    """Each figure of plate 34 is what the journals of the run come to by hand."""
    plate = history[LAST_FOG - 1]
    found = figures_of(plate, history, (FAULT,))
    warm = celsius_of(LAST_FOG)
    usual = median(celsius_of(number) for number in range(LAST_FOG - 20, LAST_FOG))
    process = load_process("clear-glass")
    place = next(at for at, stage in enumerate(process.stages) if stage.name == "develop")
    seconds = [timing.stage_seconds(process, place, celsius_of(n)) or 0 for n in range(1, LAST_FOG + 1)]
    expected = {
        "coat seconds": 25.0, "coat over usual": 0.0, "bath share": 100.0, "bath temperature": 19.5,
        "bath over usual": 0.0, "drain seconds": 40.0, "drain over usual": 0.0, "room temperature": 20.0,
        "humidity": 55.0, "exposure over proposal": 0.0, "judged stops": 0.0, "developer temperature": warm,
        "developer over usual": warm - usual, "developed share": 100.0,
        "developed over usual": 100 * (seconds[-1] / median(seconds[-21:-1]) - 1), "first seen": 3.0,
        "stop seconds": 30.0, "clearing ratio": 1.0, "fixed share": 100.0, "wash share": 100.0,
        "plates on bath": 33.0, "plates since filtered": 19.0, "plates since sunned": 33.0,
        "plates on developer": 3.0, "plates on fixer": 33.0, "same fault before": 3.0, "new collodion": 0.0,
        "new bath": 0.0, "new developer": 1.0, "new fixer": 0.0, "bath treated": 0.0,
    }  # fmt: skip
    assert {name: found[name] for name in expected} == pytest.approx(expected, abs=0.01)
    assert found["developer age"] == pytest.approx(3 / 24, abs=0.01)
    assert found["wet share"] == pytest.approx(100 * plate.wet_used / plate.wet_about)  # type: ignore[operator]
    # of the last ten judged plates in its own holder one had it, of those in the other one two
    judged = [n for n in range(1, LAST_FOG) if n != UNJUDGED]
    last = [[n for n in judged if n % 2 == holder][-MOST_EACH:] for holder in (0, 1)]
    own, other = (sum(n >= FIRST_FOG for n in numbers) / len(numbers) for numbers in last)
    assert found["holder"] == pytest.approx(100 * (own - other)) == -10.0
    assert usual_plates(plate, history) == 20
    # one camera alone, no substratum, nothing said of iodising or of the bath's strength
    assert {name.name for name in NAMES} - set(found) == {
        "camera", "substratum", "new varnish", "bath iodised", "bath strength",
    }  # fmt: skip


def test_a_good_plate_has_no_figures_about_a_fault(history: list[PlateFigures]) -> None:
    """What depends on when a fault began is not known of a plate that has none."""
    found = figures_of(history[LAST_FOG], history, (FAULT,))
    assert not {"new developer", "bath treated"} & set(found)
    assert found["same fault before"] == 4.0
