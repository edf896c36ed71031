"""The figures and rows of the exposure page: as many cells as there are, and true to scale."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from darkroom.exposure import steps as layouts
from darkroom.exposure.daylight import DayOfLight, LightPoint, day_of_light
from darkroom.exposure.factors import Factor, product
from darkroom.exposure.judged import LeftOut
from darkroom.exposure.learned import Learned
from darkroom.exposure.steps import proposed, steps
from darkroom.process.text.durations import show_short
from darkroom.screens.exposure.answer import Answer, Question
from darkroom.screens.exposure.answer_rows import factor_rows, further_rows, main_rows
from darkroom.screens.exposure.figures import curve_rows, interval_rows
from darkroom.screens.exposure.strip_figure import section_rows, strip_rows
from darkroom.screens.widgets.rows import Row, width
from darkroom.session.plate_form import PlateForm

ZONE = ZoneInfo("Europe/Amsterdam")
NOON = datetime(2026, 6, 21, 12, 0, tzinfo=ZONE)
LEARNED = Learned(low=-1.0, middle=0.0, high=1.0, seconds_low=4.0, seconds=8.0, seconds_high=16.0, plates=2)


def answer(source: str = "plates", asked: dict[str, Any] | None = None, **members: Any) -> Answer:
    """Return an answer with the members that a test needs."""
    question = Question(source=source, form=PlateForm(), process="clear", **(asked or {}))
    return Answer(question=question, at=NOON, **members)


def texts(rows: list[Row]) -> list[str]:
    """Return rows as text, without what is free at their ends."""
    return ["".join(text for text, _ in row).rstrip() for row in rows]


def test_the_interval_stands_on_its_scale() -> None:
    """A bar from one stop less to one more covers half of a scale of four stops; its middle is marked."""
    bar, scale, stops, times = texts(interval_rows(answer(learned=LEARNED), 45))
    assert (stops.split(), times.split()) == (
        ["−2", "−1", "0", "+1", "+2"],
        ["2", "s", "4", "s", "8", "s", "16", "s", "32", "s"],
    )
    middle = scale.index("┬", 20)
    assert bar[middle] == "╵"
    ones = [place for place, sign in enumerate(scale) if sign == "┬"]
    assert ones[1] == pytest.approx(len(bar) - len(bar.lstrip()), abs=1)
    assert ones[3] == pytest.approx(len(bar) - 1, abs=1)


def test_a_time_from_elsewhere_is_marked_below_the_bar() -> None:
    """A time that lies a stop above the middle stands under +1; one beyond the scale at its end."""
    for seconds, sign in ((16.0, "+1"), (800.0, "+2")):
        planned = product(seconds, [])
        rows = texts(interval_rows(answer("meter", learned=LEARNED, planned=planned), 60))
        assert rows[1].index("^") == pytest.approx(rows[3].index(sign) + 1, abs=1)


def test_an_interval_without_seconds_has_stops_alone() -> None:
    """Without light or f-number the scale has no times; a narrow place has no bar."""
    unknown = Learned(low=-3.0, middle=0.0, high=3.0, seconds_low=None, seconds=None, seconds_high=None,
                      plates=0)  # fmt: skip
    rows = texts(interval_rows(answer(learned=unknown), 60))
    assert rows[2].split() == ["−4", "−3", "−2", "−1", "0", "+1", "+2", "+3", "+4"]
    assert len(rows) == 3
    assert interval_rows(answer(learned=unknown), 19) == []


def test_factors_and_their_sum() -> None:
    """Each factor stands in stops and as a multiplier, and so does their sum, at the right end of the row."""
    planned = product(8.0, [Factor(what="stop", how="f/5.6 to f/8", stops=1.03),
                            Factor(what="ev", how="EV 10 to 11", stops=-1.0)])  # fmt: skip
    rows = texts(factor_rows(answer(planned=planned, counted_from="from plate 31: 8 s"), 40))
    assert rows == [
        "from plate 31: 8 s",
        "stop  f/5.6 to f/8       +1.03     ×2.04",
        "ev    EV 10 to 11        −1.00      ×1/2",
        "sum                      +0.03     ×1.02",
    ]
    assert texts(factor_rows(answer(planned=product(8.0, []), counted_from="from 8 s"), 40)) == [
        "from 8 s",
        "nothing changes it",
    ]


@pytest.mark.parametrize("columns", [30, 42, 60, 120])
@pytest.mark.parametrize(
    "plate",
    [
        steps(2.0, 2.0, 5),
        steps(0.5, 2.0, 8),
        steps(1.25, 3.2, 8),
        proposed(7.9, 63.5, 510.0, 8),
        steps(8, 1.26, 3),
    ],
)
def test_a_test_plate_side_by_side(columns: int, plate: layouts.TestPlate) -> None:
    """Each strip has its opening and its total, whole, at every width; groups stand below each other."""
    rows = texts(strip_rows(plate, columns))
    assert max(map(len, rows)) <= columns
    figures: dict[str, list[str]] = {"strip": [], "open": [], "in all": []}
    for row in rows:
        if row[:7].strip() in figures:
            figures[row[:7].strip()] += row[7:].replace(" s", "s").split()
    assert figures["strip"] == [str(number) for number in range(1, len(plate.pulls) + 1)]
    assert figures["in all"] == [show_short(total).replace(" ", "") for total in plate.totals]
    assert figures["open"][1:] == ["+" + show_short(pull).replace(" ", "") for pull in plate.pulls[1:]]


def test_what_is_to_be_known_of_a_test_plate() -> None:
    """Below it stands what a hand changes, that it outlasts the wet time, how the slide is moved."""
    by_hand = proposed(0.16, 1.4, 13.0, 8)
    told = answer(asked={"wet": 12.0, "strips": 8}, strips=by_hand)
    words = " ".join(texts(section_rows(told, 60)))
    assert "16 s in all: a plate stays wet about 12 s." in words
    assert "It begins at the shortest opening by cap or slide." in words
    assert "A hand is too slow for 8 strips." in words
    assert "push the slide at each call" in words and "2,2,4 pause 3 s" in words
    usual = answer(asked={"wet": 720.0, "strips": 5}, strips=proposed(2.0, 8.0, 32.0, 5))
    words = " ".join(texts(section_rows(usual, 60)))
    assert "wet" not in words and "shortest" not in words and "too slow" not in words


def test_without_a_test_plate_it_says_why() -> None:
    """In the place of the strips stands why there are none."""
    told = answer(no_strips="0.5 s is too short.")
    assert texts(section_rows(told, 60)) == ["No test plate: 0.5 s is too short."]


def test_the_days_light() -> None:
    """The curve is highest at its best hour, the hours and the present stand below it, the best in words."""
    light = day_of_light("sun", 52.09, 5.12, NOON.date(), ZONE)
    rows = curve_rows(answer(light=light, place="garden", kind="sun"), 60, simple=False)
    shown = texts(rows)
    assert shown[0] == "sun at garden, 21 June: EV"
    assert light.best is not None and light.best.ev is not None
    assert shown[1].split()[0] == f"{light.best.ev:.1f}"
    top = [place for place, sign in enumerate(shown[1]) if sign == "█"]
    middle = (top[0] + top[-1]) / 2
    assert shown[6].index("12:00") < middle < shown[6].index("18:00")
    assert shown[7].strip() == "^ 12:00"
    assert " ".join(shown[8:]).startswith("Best 1")


def test_a_curve_without_signs_is_background_alone() -> None:
    """A terminal that cannot draw blocks gets the same shape in reversed cells."""
    light = day_of_light("sun", 52.09, 5.12, NOON.date(), ZONE)
    rows = curve_rows(answer(light=light, place="garden", kind="sun"), 60, simple=True)
    assert all(text.isascii() for row in rows for text, _ in row)
    assert any(meaning == "reversed" for _, meaning in rows[1])


def test_a_day_without_light_has_no_curve() -> None:
    """Without a place, or where no sun rises high enough, nothing is drawn."""
    dark = DayOfLight(
        (LightPoint(NOON, -10.0, None), LightPoint(NOON + timedelta(hours=1), -9.0, None)), None, ()
    )
    assert curve_rows(answer(), 60, simple=False) == []
    assert curve_rows(answer(light=dark, place="island", kind="sun"), 60, simple=False) == []


def test_the_time_is_large_and_its_unit_small() -> None:
    """The time stands in figures of four rows with its unit beside them, hollow while another is reckoned."""
    told = answer(planned=product(8.0, []), learned=LEARNED)
    rows = main_rows(told, 42, False, "half", waiting=False)
    assert texts(rows)[3].endswith(" s")
    assert texts(rows)[4] == "8 s, between 4 and 16, from 2 plates"
    assert rows != main_rows(told, 42, False, "half", waiting=True)
    assert texts(main_rows(answer(says=["Which?"]), 42, False, "half", waiting=False)) == [
        "no time yet",
        "Which?",
    ]


def test_a_long_time_says_what_is_known_of_long_times() -> None:
    """From a minute on what is taken and what is not modelled stands below the time."""
    rows = " ".join(
        texts(main_rows(answer("meter", planned=product(90.0, [])), 60, False, "half", waiting=False))
    )
    assert "Roscoe 1864" in rows and "is not modelled" in rows
    short = " ".join(
        texts(main_rows(answer("meter", planned=product(59.0, [])), 60, False, "half", waiting=False))
    )
    assert "Roscoe" not in short


@pytest.mark.parametrize("columns", [38, 42, 70, 200])
def test_no_row_is_longer_than_its_place(columns: int) -> None:
    """At every width that the page gives it the answer fits."""
    light = day_of_light("window", 52.09, 5.12, NOON.date(), ZONE)
    told = answer(
        planned=product(8.0, [Factor(what="bellows", how="0.53 to 1.17 stops lost", stops=0.64)]),
        counted_from="from 1 s at f/1, EV 0 and ISO 100", learned=LEARNED, strips=steps(2.0, 2.0, 5),
        light=light, place="garden", kind="window", says=["The light is not known, so there is no time."],
        left_out=(LeftOut(plate="p", number=3, reason="exposed by flashes"),),
    )  # fmt: skip
    rows = [*main_rows(told, columns, False, "half", waiting=False), *further_rows(told, columns, False)]
    assert [row for row in rows if sum(width(text) for text, _ in row) > columns] == []
