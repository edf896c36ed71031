"""One star and one stop are written in the singular, wherever a judgement is shown."""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom.bench import events as ev
from darkroom.log.export.html_report import report
from darkroom.log.plate.comparison import shown
from darkroom.screens.home.last_advice import latest_advice
from tests.kit.plates import forgotten, told


@pytest.mark.parametrize(("stops", "words"), [(1.0, "+1 stop"), (-1.0, "-1 stop"), (0.5, "+0.5 stops")])
def test_one_of_a_kind_is_said_as_one(home: Path, stops: float, words: str) -> None:
    """The account, the report, a comparison and the advice of the home screen use the singular for one."""
    lines = forgotten()
    n, at = lines[-1].n + 1, "2026-03-02T20:00:00.000+01:00"
    record = told(home, [*lines, ev.Rating(n=n, at=at, up=None, stars=1, exposure_stops=stops)])
    assert [account_line.text for account_line in record.account.words] == [f"1 star, next plate {words}"]
    assert shown(stops, "stops") == words
    page = b"".join(report([record], "A plate")).decode()
    assert f"{words}<" in page
    way = "more" if stops > 0 else "less"
    size = "half a stop" if abs(stops) == 0.5 else "a stop"
    assert f"{size} {way}" in latest_advice(home)["Trial"].text
