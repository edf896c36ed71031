"""Journals with very many lines: told in few words, folded as they are one by one."""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom.bench import events as ev
from darkroom.bench import temperatures
from darkroom.bench.fold import apply, fold
from darkroom.bench.state import PlateState
from darkroom.log.journal.read import MOST_ALIKE, scan
from tests.kit import long_journals
from tests.kit.long_journals import KINDS


@pytest.mark.parametrize("kind", ["line feeds", "words"])
def test_bad_lines_in_a_row_are_named_and_then_counted(kind: str) -> None:
    """The first bad lines are each named with their place, the rest are one problem with their number."""
    journal = scan(Path("plate.jsonl"), 1, KINDS[kind](5_000))
    assert len(journal.good_lines) == 2
    assert [problem.line for problem in journal.problems] == [*range(3, 3 + MOST_ALIKE + 1)]
    assert str(journal.problems[-1]).endswith(f"; so are the {5_000 - MOST_ALIKE - 1} lines after it")


def test_good_lines_end_a_row_of_bad_ones() -> None:
    """A damaged line behind a good one is named with its own place."""
    data = long_journals.marks(2)
    first, second, third, fourth = data.splitlines(keepends=True)
    journal = scan(Path("plate.jsonl"), 1, first + b"\n\n" + second + b"\n" + third + b"dust\n" + fourth)
    assert [problem.line for problem in journal.problems] == [2, 3, 5, 7]
    assert [good_line.line for good_line in journal.good_lines] == [1, 4, 6, 8]


@pytest.mark.parametrize("kind", ["marks", "readings"])
def test_the_fold_of_all_is_that_of_one_after_the_other(kind: str) -> None:
    """Marks and readings taken together lead to the state that each taken alone leads to."""
    lines = [good_line.event for good_line in scan(Path("plate.jsonl"), 1, KINDS[kind](60)).good_lines]
    humid = ev.Humidity(n=lines[-1].n + 1, at=lines[0].at, up=lines[-1].up, percent=40.0, from_="hand")
    lines += [humid, ev.Mark(n=humid.n + 1, at=lines[0].at, up=lines[-1].up)]
    one_by_one = fold(lines[:1])
    for line in lines[1:]:
        one_by_one = apply(one_by_one, line)
    assert fold(lines) == one_by_one


def test_each_trace_is_copied_once_for_readings_in_a_row(monkeypatch: pytest.MonkeyPatch) -> None:
    """A fold takes readings that follow each other together: its work grows with their number alone."""
    calls: list[int] = []
    real = temperatures.with_readings

    def counted(state: PlateState, readings: list[temperatures.Reading]) -> PlateState:
        calls.append(len(readings))
        return real(state, readings)

    monkeypatch.setattr(temperatures, "with_readings", counted)
    fold([good_line.event for good_line in scan(Path("p.jsonl"), 1, long_journals.readings(500)).good_lines])
    assert [count for count in calls if count] == [500]
