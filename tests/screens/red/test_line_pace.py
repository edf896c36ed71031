"""How far a terminal may be behind: nothing is painted while too much is unconfirmed."""

from __future__ import annotations

import pytest

from darkroom.screens.red.line_pace import ASK_EVERY, MOST_AHEAD, PATIENCE, ROUND_TRIP, SLOW_LINE, LinePace
from tests.kit.clocks import HandClock


def pace(clock: HandClock | None = None) -> tuple[LinePace, list[None]]:
    """Return a pace, and what grows when there is room again."""
    freed: list[None] = []
    return LinePace(lambda: freed.append(None), (clock or HandClock()).up), freed


def test_a_terminal_that_never_answers_is_asked_once_and_never_full() -> None:
    """Without an answer there is one question, and frames go on as they come."""
    one, _ = pace()
    asked = [one.painted(ASK_EVERY) for _ in range(50)]
    assert asked == [True, *[False] * 49]
    assert not one.is_full


def test_a_terminal_that_answers_is_full_until_it_has_confirmed() -> None:
    """With MOST_AHEAD unconfirmed nothing is painted; the answer to the oldest question makes room."""
    one, freed = pace()
    assert one.painted(ASK_EVERY)
    one.answered()
    assert not one.painted(ASK_EVERY - 1)
    assert one.painted(1), "asked after so many characters"
    assert not one.is_full and one.owes
    assert one.painted(MOST_AHEAD - ASK_EVERY)
    assert one.is_full and freed == []
    one.answered()
    assert not one.is_full and freed == [None]
    one.answered()
    assert not one.owes and freed == [None], "room was told once"


def test_answers_that_nobody_asked_for_are_noise() -> None:
    """Sent by a stray program, they confirm nothing, and leave a terminal that is not known to answer."""
    one, freed = pace()
    for _ in range(3):
        one.answered()
    one.painted(10 * MOST_AHEAD)
    assert not one.is_full and freed == []


def test_an_answer_that_does_not_come_is_waited_for_so_long() -> None:
    """After PATIENCE the terminal counts as one that does not answer, and is asked anew once."""
    clock = HandClock()
    one, _ = pace(clock)
    one.painted(ASK_EVERY)
    one.answered()
    one.painted(MOST_AHEAD)
    assert one.is_full
    clock.move(PATIENCE + 0.1)
    assert not one.is_full and not one.owes
    assert [one.painted(ASK_EVERY) for _ in range(3)].count(True) == 1
    one.answered()
    one.painted(MOST_AHEAD)
    assert one.is_full, "it answers again"


def test_what_another_program_took_is_forgotten() -> None:
    """After a stop the answers were another's: nothing is owed."""
    one, _ = pace()
    one.painted(ASK_EVERY)
    one.answered()
    one.painted(MOST_AHEAD)
    one.forget()
    assert not one.is_full and not one.owes


def test_a_first_answer_is_awaited_for_a_while_after_its_question() -> None:
    """Who leaves at once waits for it; who leaves later waits for nothing: it may never come."""
    clock = HandClock()
    one, _ = pace(clock)
    assert one.answer_within() == 0.0
    one.painted(3 * SLOW_LINE)
    assert one.owes and one.answer_within() == pytest.approx(3.0 + ROUND_TRIP)
    clock.move(2.0)
    one.painted(10 * SLOW_LINE)
    assert one.answer_within() == pytest.approx(1.0 + ROUND_TRIP), "painted behind the question"
    clock.move(3.0)
    assert one.answer_within() == 0.0


def test_a_terminal_that_answers_is_given_the_time_of_a_slow_line() -> None:
    """What is unconfirmed takes its time at 9,600 baud, whenever it was painted; then nothing is owed."""
    clock = HandClock()
    one, _ = pace(clock)
    one.painted(ASK_EVERY)
    one.answered()
    one.painted(2 * SLOW_LINE)
    clock.move(5.0)
    assert one.answer_within() == pytest.approx(2.0 + ROUND_TRIP)
    one.answered()
    assert not one.owes and one.answer_within() == 0.0


def test_a_terminal_that_never_answered_is_not_asked_after_a_stop() -> None:
    """Once its first answer was due no later stop waits, however many came before; it may answer yet."""
    clock = HandClock()
    one, _ = pace(clock)
    for _ in range(4):
        assert one.painted(ASK_EVERY)
        clock.move((ROUND_TRIP + ASK_EVERY / SLOW_LINE) / 4)
        one.forget()
    assert not one.painted(MOST_AHEAD) and not one.owes
    one.answered()
    assert one.painted(ASK_EVERY) and one.owes


def test_a_terminal_whose_first_answer_was_not_due_is_asked_after_a_stop() -> None:
    """The tool was stopped right after its start: whether the terminal answers is not known."""
    one, _ = pace()
    assert one.painted(ASK_EVERY)
    one.forget()
    assert one.painted(ASK_EVERY)
