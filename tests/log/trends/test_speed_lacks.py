"""What is missing for a trend of speed is said: how many plates, days and dates, and why others tell none."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest

from darkroom.exposure.judged import JudgedPlate
from darkroom.log.trends import trend_text
from darkroom.log.trends.speed_lacks import DATED, TELLS, speed_lacks
from tests.kit.judged_speeds import fields, judged
from tests.kit.log_commands import Capture, run_log
from tests.kit.season import write


def says(plates: list[JudgedPlate]) -> tuple[str, ...]:
    """Return the sentences, none where nothing is missing."""
    lacks = speed_lacks(plates)
    return () if lacks is None else lacks.says


def test_nothing_is_missing_where_both_trends_are() -> None:
    """Plates of enough days and ages lack nothing."""
    assert says([judged(n, 0.0) for n in range(6)]) == ()


def test_no_plate_tells_its_speed() -> None:
    """Without a judged plate, or with plates that tell nothing, it is said what a speed takes."""
    assert says([]) == ("No judged plate tells its speed yet.", TELLS)
    silent = [judged(n, 0.0, f_number=None) for n in range(3)]
    more = JudgedPlate(**{**fields(judged(9, 0.0)), "low": 0.25, "high": math.inf})
    assert says([*silent, more])[2:] == (
        "1 only said more or less.",
        "3 left out: its f-number is not known.",
    )


@pytest.mark.parametrize(
    ("number", "told"),
    [
        (1, "1 plate tells its speed, of Trial: 5 of one kind show a trend."),
        (4, "4 plates tell their speed, of Trial: 5 of one kind show a trend."),
    ],
)
def test_too_few_plates(number: int, told: str) -> None:
    """The plates so far and the number needed are told."""
    assert says([judged(n, 0.0) for n in range(number)]) == (told, TELLS)


def test_the_light_of_most_plates_is_named() -> None:
    """Plates of a light that nobody measured are a group of their own, and it is named."""
    window: dict[str, Any] = {"ev": None, "ev_from": None, "light": "North window", "kind": "window"}
    plates = [*(judged(n, 0.0, **window) for n in range(3)), judged(9, 0.0)]
    assert (
        says(plates)[0] == "3 plates tell their speed, of Trial in north window: 5 of one kind show a trend."
    )


def test_enough_plates_of_too_few_days_and_ages() -> None:
    """What the ages and the days lack is told each for itself."""
    assert says([judged(1, 0.0) for _ in range(6)]) == (
        "Over its age: the collodions are 0 days apart at most; 10 show something.",
        "From day to day: plates of 1 of the 5 days that show something.",
    )
    assert says([judged(n, 0.0, age=None) for n in range(6)]) == (
        f"Over its age: of 0 of 6 plates the collodion has a date; {DATED}.",
    )


def test_the_command_says_it(home: Path, capsys: Capture) -> None:
    """`log trends` ends with what is missing for the speed, but not for one stage or in an empty log."""
    write(home, 30, seed=5, days=5)
    title = "speed of the plates: what is missing for a trend"
    for words in ((), ("--plot",)):
        status, out, _ = run_log(capsys, "trends", *words)
        assert status == 0
        assert out.split(title)[1].splitlines()[1] == "  No judged plate tells its speed yet."
    assert title not in run_log(capsys, "trends", "--stage", "develop")[1]
    assert run_log(capsys, "trends", "--process", "none of these")[1] == ""


@pytest.mark.parametrize(("number", "told"), [(-0.04, "0.0"), (0.04, "0.0"), (-0.06, "-0.1"), (0.3, "+0.3")])
def test_nothing_has_no_sign(number: float, told: str) -> None:
    """A value that rounds to nothing is told without a sign, in no trend as -0.0."""
    assert trend_text.signed(number, 1) == told
