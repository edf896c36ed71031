"""A plate's state is the same on every way to it: folded at once, line by line, an undo remembered."""

from __future__ import annotations

import random

from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from darkroom.bench import events as ev
from darkroom.bench import fold as folding
from darkroom.bench import steps
from darkroom.bench.fold import apply, begin, fold, fold_before
from darkroom.bench.standing import Line, instants, standing
from darkroom.bench.state import STEPS, PlateState
from darkroom.bench.undo import causes, instant_of, last_step
from tests.kit.long_plate import LongPlate, long_plate


def one_by_one(lines: list[ev.AnyEvent]) -> PlateState:
    """Return the state after every standing line's step, each on its own and nothing gathered."""
    stands = standing(lines)
    when = instants(stands)
    assert isinstance(stands[0], ev.PlateStarted)
    state = begin(stands[0], when[stands[0].n])
    for line in stands[1:]:
        state = steps.step(state, line, when.get(line.n))
    return replace(state, lines=tuple(lines))


@given(st.randoms(use_true_random=False), st.integers(2, 150))
@settings(deadline=None)
def test_a_fold_is_every_standing_lines_step(rng: random.Random, count: int) -> None:
    """Gathered readings and marks lead to the state that each line's step leads to, in whatever order."""
    lines = LongPlate(rng, lively=True).write(count)
    expected = one_by_one(lines)
    assert fold(lines) == expected
    assert fold(rng.sample(lines, len(lines))) == expected


@given(st.randoms(use_true_random=False), st.integers(2, 60))
@settings(deadline=None)
def test_line_by_line_is_the_fold(rng: random.Random, count: int) -> None:
    """After each line, an undo, a move and a restart among them, the state is that of all lines folded."""
    lines = LongPlate(rng, lively=True).write(count)
    state = fold(lines[:1])
    for number, line in enumerate(lines[1:], 2):
        state = apply(state, line)
        assert state == one_by_one(lines[:number])
        assert apply(fold(lines[: number - 1]), line) == state, "remembered, it is the same"


@given(st.randoms(use_true_random=False), st.integers(2, 80), st.data())
@settings(deadline=None)
def test_the_state_before_a_line_is_the_fold_of_those_before_it(
    rng: random.Random, count: int, data: st.DataObject
) -> None:
    """The light asks for it again and again while lines are added."""
    lines = LongPlate(rng, lively=True).write(count)
    line = data.draw(st.sampled_from(lines[1:]))
    for end in (line.n, len(lines), len(lines)):
        assert fold_before(fold(lines[:end]), line) == fold(lines[: line.n - 1])


def test_what_is_remembered_is_never_another_plates() -> None:
    """Two plates of as many lines that take back the same numbers keep their own states."""
    first, second = (long_plate(120, seed) for seed in (1, 2))
    undone = ev.Undone(n=121, at="", up=9000.0, undoes=(120,), held=False)
    states = [apply(fold(lines), undone) for lines in (first, second, first)]
    assert states == [one_by_one([*lines, undone]) for lines in (first, second, first)]
    assert len(folding._remembered) <= 16


def instants_by_number(lines: list[Line]) -> dict[int, float]:
    """Return the instants as defined: of each line its own, shifted by every return after it, then moved."""
    when: dict[int, float] = {}
    last: float | None = None
    for line in lines:
        if line.up is None:
            continue
        if isinstance(line, ev.Resumed) and line.by == "wall" and last is not None:
            when = {n: instant + (line.up - line.gap - last) for n, instant in when.items()}
        when[line.n] = last = line.up
    for move in (line for line in lines if isinstance(line, ev.Moved)):
        when |= {n: when[n] + move.seconds for n in move.moves if n in when}
    return when


@given(st.randoms(use_true_random=False), st.integers(2, 150))
@settings(deadline=None)
def test_the_instants_are_those_of_each_line(rng: random.Random, count: int) -> None:
    """To the last bit, and of the last step the same where earlier lines are not looked at."""
    stands = standing(LongPlate(rng, lively=True).write(count))
    expected = instants_by_number(stands)
    assert instants(stands) == expected
    for end in range(1, len(stands) + 1):
        if step := last_step(stands[:end]):
            assert instant_of(stands[:end], step) == instants_by_number(stands[:end]).get(step[-1].n)


@given(st.randoms(use_true_random=False), st.integers(2, 150))
@settings(deadline=None)
def test_the_last_step_is_found_from_the_end(rng: random.Random, count: int) -> None:
    """It is the last group of one cause that holds a step, less what stays, and the lead-in it came with."""
    state = fold(LongPlate(rng, lively=True).write(count))
    groups = causes(state)
    assert [line for group in groups for line in group] == standing(state.lines)
    places = [at for at, group in enumerate(groups) if any(isinstance(line, STEPS) for line in group)]
    found = last_step(standing(state.lines))
    if not places:
        assert not found
        return
    group = [line for line in groups[places[-1]] if isinstance(line, STEPS)]
    before: list[Line] = [line for at in places[:-1] for line in groups[at] if isinstance(line, STEPS)]
    leads_in = isinstance(group[0], ev.StageStarted) and before and isinstance(before[-1], ev.LeadInStarted)
    assert found == ([before[-1], *group] if leads_in else group)
