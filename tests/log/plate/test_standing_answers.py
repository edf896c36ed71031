"""The account tells the wet time by one rule, and of answers about the exposure which one counts."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.commands.log.account_text import account_text_lines
from darkroom.log.plate.record import PlateRecord, read_record
from darkroom.screens.log_plate.screen import page
from tests.kit.bench import Hand
from tests.kit.exports import shelve, worked
from tests.kit.plates import texts


def shown(record: PlateRecord) -> str:
    """Return what `darkroom log show` prints of a plate."""
    return "\n".join(account_text_lines(record))


@pytest.mark.parametrize(
    ("given_up", "words"), [(False, "not developed yet, about "), (True, "not developed, about ")]
)
def test_a_wet_plate_that_came_to_no_developer_is_told_alike(home: Path, given_up: bool, words: str) -> None:
    """Page and `log show` say that it is not developed, yet where it stands on the bench."""
    hand = Hand()
    hand.to_stage("drain")
    if given_up:
        hand.do(280.0, want.Abandon("only a trial"))
    record = read_record(shelve(home, hand.lines["p1"]))
    assert "wet time: " + words in shown(record)
    drawn = "\n".join(texts(page(record, 120)))
    assert drawn.count(words) == 2 and "not used" not in drawn


def lines_of(*ends: dict[str, Any], told: dict[int, str]) -> list[ev.AnyEvent]:
    """Return a plate whose exposure ended so several times, each but the last taken back.

    `told` is {end: what was told after it of how long the lens was open}.
    """
    events = [line for line in worked() if not isinstance(line, ev.PlateEnded)]
    place = next(
        i for i, line in enumerate(events) if isinstance(line, ev.StageEnded) and line.stage == "expose"
    )
    end = events[place]
    assert isinstance(end, ev.StageEnded)
    found: list[ev.AnyEvent] = list(events[:place])
    n = end.n
    for index, members in enumerate(ends):
        found.append(ev.StageEnded(**{**_members(end), "n": n, **members}))
        ended_n, n = n, n + 1
        if index in told:
            found.append(ev.Detail(n=n, at=end.at, up=end.up, key="exposed", value=told[index]))
            n += 1
        if index < len(ends) - 1:
            found.append(ev.Undone(n=n, at=end.at, up=end.up, undoes=(ended_n,), held=False))
            n += 1
    return found


def _members(line: ev.StageEnded) -> dict[str, Any]:
    return {name: getattr(line, name) for name in line.__struct_fields__}


UNSEEN = {"unseen": True, "exposed": None}
SEEN = {"unseen": None, "exposed": 8.0}


@pytest.mark.parametrize(
    ("ends", "told", "stands", "exposed"),
    [
        ((UNSEEN,), {0: "6 s"}, ["exposed: 6 s"], 6.0),
        ((UNSEEN, SEEN), {0: "6 s"}, ["exposed: 6 s (its exposure was taken back)"], 8.0),
        (
            (UNSEEN, UNSEEN),
            {0: "6 s", 1: "9 s"},
            ["exposed: 6 s (corrected)", "exposed: 9 s"],
            9.0,
        ),
    ],
)
def test_only_the_standing_answer_counts(
    home: Path, ends: tuple[dict[str, Any], ...], told: dict[int, str], stands: list[str], exposed: float
) -> None:
    """What was told of an end that an undo took back is marked so, and the exposure is what stands."""
    record = read_record(shelve(home, lines_of(*ends, told=told)))
    assert record.exposed == exposed
    text = shown(record)
    assert [line.split("  ")[-1].strip() for line in text.splitlines() if "exposed: " in line] == stands
