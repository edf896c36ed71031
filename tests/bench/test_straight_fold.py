"""The fold of straight lines against the whole fold: where it answers, it answers the same."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from msgspec.structs import replace

from darkroom.bench import events as ev
from darkroom.bench.fold import fold
from darkroom.bench.straight_fold import STEPS, straight_fold
from darkroom.errors import DarkroomError
from tests.kit.bench import Hand, at
from tests.kit.mutated_lines import decided, disturbed
from tests.kit.nightly import examples


def whole_plate() -> list[ev.AnyEvent]:
    """Return the lines of a plate up to its wash, as the bench decides them."""
    hand = Hand()
    up = hand.to_stage("fix")
    hand.go(up + 40.0, up + 80.0)
    return hand.lines["p1"]


def folded(lines: list[Any]) -> object:
    """Return the state, or the words of the error."""
    try:
        return fold(lines)
    except (ValueError, DarkroomError) as error:
        return str(error)


@given(lines=decided())
@settings(max_examples=examples(150), deadline=None)
def test_lines_of_the_bench_fold_the_same(lines: list[ev.AnyEvent]) -> None:
    """What the bench itself decides folds to the same state on both ways, or is not straight."""
    found = straight_fold(lines)
    assert found is None or found == folded(lines)


@given(lines=disturbed())
@settings(max_examples=examples(400), deadline=None)
def test_disturbed_lines_fold_the_same(lines: list[Any]) -> None:
    """Lines left out, out of place, of unknown kinds or without a time are folded the same, or declined."""
    try:
        found: object = straight_fold(lines)
    except DarkroomError as error:
        found = str(error)
    assert found is None or found == folded(lines)


def test_a_whole_plate_is_straight() -> None:
    """A plate of which nothing was taken back is folded on the short way, each member of the state equal."""
    lines = whole_plate()
    found = straight_fold(lines)
    assert found is not None and len(found.done) > 5
    assert found == fold(lines)


@pytest.mark.parametrize(
    "line",
    [
        ev.Undone(n=90, at=at(900.0), up=900.0, undoes=(2,), held=False),
        ev.Moved(n=90, at=at(900.0), up=900.0, moves=(2,), seconds=-3.0),
        ev.Resumed(n=90, at=at(900.0), up=900.0, gap=5.0, by="up", boot="b"),
        ev.Clock(n=90, at=at(900.0), up=900.0, kind="slept", seconds=9.0),
        ev.StageStarted(n=90, at=at(900.0), up=900.0, stage="no such", planned=None, celsius=None),
        ev.StageStarted(n=90, at=at(900.0), up=900.0, stage="fix", planned=None, celsius=None, part=2),
        ev.StageStarted(
            n=90, at=at(900.0), up=900.0, stage="fix", planned=None, celsius=None, bottles={"fixer": "F2"}
        ),
        ev.Detail(n=90, at=at(900.0), up=None, key="exposed", value="8 s"),
        ev.Mark(n=2, at=at(900.0), up=900.0),
        ev.Mark(n=90, at=at(900.0), up=None),
    ],
    ids=lambda line: f"{type(line).__name__}-{line.n}",
)
def test_what_is_not_straight_is_declined(line: ev.AnyEvent) -> None:
    """A line that takes back, moves, resumes, opens the lens again or stands nowhere declines the plate."""
    lines = [*whole_plate(), line]
    assert straight_fold(lines[:-1]) is not None
    assert straight_fold(lines) is None


def test_no_lines_and_no_start_are_declined() -> None:
    """Without a first line on the clock there is nothing to fold."""
    lines = whole_plate()
    assert straight_fold([]) is None
    assert straight_fold(lines[1:]) is None
    assert straight_fold([replace(lines[0], up=None), *lines[1:]]) is None


def test_every_kind_of_line_is_decided_on() -> None:
    """A kind of line is either folded here, or one of those that decline; a new one is to be thought of."""
    declined = {ev.PlateStarted, ev.Moved, ev.Undone, ev.Resumed, ev.Continued}
    assert set(STEPS) | declined == set(ev.AnyEvent.__args__)
    assert not set(STEPS) & declined
