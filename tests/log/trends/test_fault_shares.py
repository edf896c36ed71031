"""The share of judged plates with a fault over time: which plates count, the steps, what changed."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from scipy.stats import chi2_contingency

from darkroom.faults.catalogue import Catalogue, Fault
from darkroom.log.catalogue.catalogue import Catalogue as PlateCatalogue
from darkroom.log.catalogue.query import Query
from darkroom.log.trends import fault_share_text as say
from darkroom.log.trends.changes import Change, FirstUses
from darkroom.log.trends.facts import PlateFacts
from darkroom.log.trends.fault_shares import (
    FEWEST,
    FEWEST_WITH,
    MOST_CHANGES,
    MOST_STEPS,
    FaultShares,
    fault_shares,
)
from darkroom.log.trends.figures import picture, subjects
from darkroom.log.trends.reading import trend_rows
from darkroom.log.trends.trends import trends
from darkroom.resources import fault_catalogue
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import Bottle, fold
from darkroom.solutions.events import BottleEntry
from tests.kit import fault_season
from tests.kit.trends import plate, rows

START = date(2026, 5, 4)
"""A Monday."""
FOG = Fault(
    id="general fog", label="Fog", looks="a veil", unexplained=0.01, causes={"x": 0.5}, source="invented"
)
KNOWN = Catalogue(faults={FOG.id: FOG})


def made(number: int, days: int, **more: Any) -> PlateFacts:
    """Return a plate of so many days after START, each plate an hour after the one before."""
    day = START + timedelta(days=days)
    said = {"stars": 3} if not more.keys() & {"stars", "exposure_word", "nothing_else"} else {}
    return plate(
        f"p{number:03}", number=number, day=day.isoformat(), moment=3600.0 * number, **{**said, **more}
    )


def foggy(*numbers: int, name: str = "general fog") -> dict[str, list[str]]:
    """Return the faults of plates with one."""
    return {f"p{number:03}": [name] for number in numbers}


def only(found: tuple[FaultShares, ...]) -> FaultShares:
    """Return the one trend."""
    (trend,) = found
    return trend


def test_a_worked_example() -> None:
    """Two days of ten judged plates: 1 of 10, then 6 of 10, the change of developer between the days.

    By hand: the shares are 10 and 60 per cent; Wilson's interval of 1 of 10 is 1.79 to 40.4 per cent and of 6
    of 10 is 31.3 to 83.2 per cent (Wilson 1927, formula 9; computed with z = 1.96).
    """
    plates = [made(n, 0) for n in range(10)] + [made(n, 1) for n in range(10, 20)]
    faults = foggy(4, *range(12, 18))
    trend = only(
        fault_shares(rows(plates, faults=faults, changes=[Change(9.5 * 3600, "developer D-2")]), KNOWN)
    )
    assert (trend.fault, trend.label, trend.known, trend.by) == ("general fog", "Fog", True, "day")
    assert (trend.plates, trend.having, trend.unjudged) == (20, 7, 0)
    assert [(step.least, step.days, step.plates, step.having) for step in trend.steps] == [
        (START.toordinal(), 1, 10, 1),
        (START.toordinal() + 1, 1, 10, 6),
    ]
    first, second = trend.steps
    assert (first.low, first.high) == pytest.approx((0.0179, 0.404), abs=5e-4)
    assert (second.low, second.high) == pytest.approx((0.313, 0.832), abs=5e-4)
    (change,) = trend.changes
    assert (change.plate, change.number, change.day) == ("p010", 10, START.toordinal() + 1)
    assert (change.what, change.before, change.having_before) == (("developer D-2",), 10, 1)
    assert (change.after, change.having_after) == (10, 6)
    expected = chi2_contingency([[6, 4], [1, 9]], correction=False, lambda_="log-likelihood")
    assert change.strength == pytest.approx(expected.statistic)


def test_only_judged_plates_count_and_the_others_are_told() -> None:
    """Stars, an exposure, "nothing else" and a fault are judgements; a plate without one is left out."""
    plates = [made(n, 0) for n in range(FEWEST - 3)]
    plates += [
        made(50, 0, exposure_word="right"),
        made(51, 0, nothing_else="true"),
        made(52, 0, stars=None),
        *(made(60 + n, 0, stars=None) for n in range(4)),
    ]
    trend = only(fault_shares(rows(plates, faults=foggy(0, 1, 52)), KNOWN))
    assert (trend.plates, trend.having, trend.unjudged) == (FEWEST, 3, 4)
    assert "4 not judged left out" in say.summary(trend)


def test_few_plates_have_no_trend() -> None:
    """Nor has a fault of fewer plates than show anything."""
    plates = [made(n, 0) for n in range(FEWEST)]
    assert fault_shares(rows(plates, faults=foggy(*range(FEWEST_WITH - 1))), KNOWN) == ()
    assert fault_shares(rows(plates[1:], faults=foggy(1, 2, 3, 4)), KNOWN) == ()
    assert len(fault_shares(rows(plates, faults=foggy(*range(FEWEST_WITH))), KNOWN)) == 1


def test_a_fault_is_one_by_its_id_and_its_label() -> None:
    """In any case; words of no file of faults are a fault of their own, and it is said."""
    plates = [made(n, 0) for n in range(20)]
    marked = foggy(1, 2) | foggy(3, name="FOG") | foggy(4, 5, 6, name="Odd  veil") | foggy(7, name="odd veil")
    known, own = sorted(fault_shares(rows(plates, faults=marked), KNOWN), key=lambda trend: trend.having)
    assert (known.label, known.having, known.known) == ("Fog", 3, True)
    assert (own.label, own.having, own.known) == ("Odd veil", 4, False)
    assert say.about(own) == "by day, in no file of faults"
    assert say.about(known) == "by day"


@pytest.mark.parametrize(
    ("days", "plates_a_day", "by", "names"),
    [
        (range(0, 14), 3, "day", ("2026-05-04", "2026-05-17")),
        (range(0, 98), 1, "week", ("2026-05-04 on", "2026-08-03 on")),
        (range(0, 400, 4), 1, "month", ("2026-05", "2027-06")),
        (range(0, 1400, 10), 1, "quarter", ("2026 Q2", "2030 Q1")),
        (range(0, 6000, 40), 1, "year", ("2026", "2042")),
        (range(0, 1400, 100), 1, "year", ("2026", "2029")),
    ],
)
def test_steps_are_as_long_as_the_plates_ask(
    days: range, plates_a_day: int, by: str, names: tuple[str, str]
) -> None:
    """Days, ISO weeks from Monday on, calendar months, quarters or years: few steps, with plates in them."""
    spread = [day for day in days for _ in range(plates_a_day)]
    plates = [made(n, day) for n, day in enumerate(spread)]
    trend = only(fault_shares(rows(plates, faults=foggy(0, 1, 2)), KNOWN))
    assert trend.by == by and len(trend.steps) <= MOST_STEPS + 1
    assert (say.step_name(trend.steps[0], trend), say.step_name(trend.steps[-1], trend)) == names
    assert sum(step.plates for step in trend.steps) == len(plates)
    for step, following in zip(trend.steps, trend.steps[1:], strict=False):
        assert step.least + step.days <= following.least


def test_plates_of_one_day_are_one_step() -> None:
    """It has no picture, and is told in words."""
    all_trends = trends(rows([made(n, 3) for n in range(12)], faults=foggy(1, 2, 3)), known=KNOWN)
    assert len(only(all_trends.fault_shares).steps) == 1
    assert not any(isinstance(trend, FaultShares) for trend in subjects(all_trends))


def test_what_was_there_from_the_first_and_after_the_last_is_no_news() -> None:
    """A change counts between two judged plates; two between the same two are one."""
    plates = [made(n, n // 5) for n in range(15)]
    changes = [Change(-5.0, "bath B-1"), Change(0.0, "developer D-1"), Change(99 * 3600.0, "bath B-9")]
    changes += [Change(6.5 * 3600, "developer D-2"), Change(6.9 * 3600, "bath B-1 filtered")]
    trend = only(fault_shares(rows(plates, faults=foggy(1, 2, 3), changes=changes), KNOWN))
    assert [(change.plate, change.what) for change in trend.changes] == [
        ("p007", ("developer D-2", "bath B-1 filtered"))
    ]
    assert trend.changed == 1
    assert list(say.signs(trend)) == ["a 05-05 developer D-2, bath B-1 filtered"]


def test_of_many_changes_those_with_which_the_share_changed_most_are_told() -> None:
    """In the order of time, each with its letter; how many more there are is said."""
    plates = [made(n, n // 4) for n in range(60)]
    changes = [Change(3600.0 * n - 60, f"bath B-{n}") for n in range(1, 60)]
    trend = only(fault_shares(rows(plates, faults=foggy(*range(30, 45)), changes=changes), KNOWN))
    assert (len(trend.changes), trend.changed) == (MOST_CHANGES, 59)
    assert trend.strongest is not None and trend.strongest.number in (30, 45)
    assert [change.number for change in trend.changes] == sorted(
        change.number or 0 for change in trend.changes
    )
    *told, last = say.change_lines(trend)
    assert [line[0] for line in told] == list("abcdefgh") and last.startswith("51 more changes")
    drawn = picture(trend)
    assert [sign for _, sign in drawn.signs] == list("abcdefgh")


def test_no_trend_is_called_a_cause() -> None:
    """Where nothing changed more than chance makes no change is singled out; none is called a cause."""
    plates = [made(n, n // 4) for n in range(40)]
    even = rows(plates, faults=foggy(*range(0, 40, 4)), changes=[Change(19.5 * 3600, "bath B-2")])
    said = say.summary(only(fault_shares(even, KNOWN)))
    assert not any("most changed" in sentence for sentence in said) and "no cause is claimed" in said


def bottle(name: str, what: str, *events: tuple[type[Any], float, dict[str, Any]]) -> Bottle:
    """Return a bottle of the book, made at the epoch; each event at its instant in seconds."""
    at = datetime.fromtimestamp(0).astimezone().isoformat()
    lines: list[Any] = [
        ev.Made(
            n=1, at=at, up=None, bottle=f"id-{name}", name=name, what=what, schema=1, version="t", bench="b"
        )
    ]
    lines += [kind(n=n, at=at, up=None, **members) for n, (kind, _, members) in enumerate(events, 2)]
    instants = [0.0, *(instant for _, instant, _ in events)]
    entries = [
        BottleEntry(place=f"b:{line.n}", bench="b", event=line, instant=instant, happened=at)
        for line, instant in zip(lines, instants, strict=True)
    ]
    folded = fold(f"id-{name}", entries)
    assert folded is not None
    return folded


def test_changes_are_new_bottles_and_what_was_done_to_them() -> None:
    """A bottle is new with the first plate that used it, by id or by name; only used ones are told."""
    bath = bottle(
        "B-1", "bath", (ev.Treated, 50.0, {"how": "filtered"}), (ev.Treated, 60.0, {"how": "boiled_down"}),
        (ev.Opened, 70.0, {}),
    )  # fmt: skip
    spare = bottle("B-2", "bath", (ev.Treated, 55.0, {"how": "sunned"}))
    uses = FirstUses()
    uses.add("bath", "id-B-1", "B-1", 30.0)
    uses.add("bath", None, "b-1", 20.0)
    uses.add("developer", None, "D-4", 41.0)
    uses.add("developer", None, "D-4", 40.0)
    uses.add("fixer", None, None, 1.0)
    uses.add("collodion", "id-gone", None, 5.0)
    uses.add("varnish", None, "V-1", None)
    changes = uses.changes({"id-B-1": bath, "id-B-2": spare})
    assert [(change.instant, change.what) for change in changes] == [
        (5.0, "collodion id-gone"),
        (20.0, "bath B-1"),
        (40.0, "developer D-4"),
        (50.0, "bath B-1 filtered"),
        (60.0, "bath B-1 boiled down"),
    ]


def test_forty_plates_in_which_fog_begins_with_a_new_developer(home: Path) -> None:
    """Through the catalogue: 39 judged plates, the four of 19 May with fog, a new developer there."""
    last_day = datetime(2026, 5, 20, 10).astimezone()
    for number in range(1, fault_season.PLATES + 1):
        fault_season.shelve_plate(home, number, last_day, {})
    with PlateCatalogue(home) as catalogue:
        catalogue.check()
        all_trends = trends(trend_rows(catalogue, Query()), known=fault_catalogue(home)[0])
    trend = only(all_trends.fault_shares)
    assert (trend.plates, trend.having, trend.unjudged) == (39, 4, 1)
    assert [(step.plates, step.having) for step in trend.steps if step.having] == [(4, 4)]
    (change,) = trend.changes
    assert (change.number, change.what) == (31, ("developer D-4",))
    assert (change.having_before, change.before, change.having_after, change.after) == (0, 15, 4, 10)


def test_the_fault_of_the_newest_plates_comes_first() -> None:
    """A fault that is marked now stands before those of more plates that are over."""
    plates = [made(number, number // 2) for number in range(30)]
    faults: dict[str, list[str]] = {}
    for name, numbers in (("comets", range(8)), ("pinholes", range(8, 14)), ("general fog", range(26, 29))):
        for number in numbers:
            faults.setdefault(f"p{number:03}", []).append(name)
    assert [trend.fault for trend in fault_shares(rows(plates, faults=faults), KNOWN)] == [
        "general fog",
        "comets",
        "pinholes",
    ]
