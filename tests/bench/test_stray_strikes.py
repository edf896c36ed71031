"""Stray strikes on overlapping plates: what one of them may do, and what it must never do."""

from __future__ import annotations

import random

import pytest

from darkroom.bench import all_plates as benches
from darkroom.bench import clocks, decide_all, endings, large_place, questions, repeats
from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench.all_plates import NEW, Bench, developing
from darkroom.bench.intents import Cause, Decision
from darkroom.bench.state import PlateState
from darkroom.process.file import plain_form
from darkroom.process.model import ExposurePlan
from darkroom.resources import load_process
from tests.kit.bench import Hand, at
from tests.kit.nightly import examples

STRAYS = examples(1000)
"""So many stray strikes are thrown in."""
PROCESSES = ("tintype", "negative", "clear-glass-cyanide")
PLAN = ExposurePlan(seconds=6.0)


def plate_work(hand: Hand, rng: random.Random, now: float) -> None:
    """Do what is due: a strike for the large plate, now and then a new plate."""
    bench = hand.bench
    state = bench.shown
    if not bench.on_bench or (len(bench.on_bench) < 3 and rng.random() < 0.02 and NEW not in bench.plates):
        process = plain_form.to_plain(load_process(rng.choice(PROCESSES)))
        hand.new(now, process=process, plan=PLAN if rng.random() < 0.7 else None)
        return
    if state is None or not state.on_bench:
        return
    zero, elapsed = clocks.zero(state), now - state.since
    if state.phase == "ready" or (state.phase == "running" and zero is not None and now >= zero):
        if rng.random() < 0.3:
            hand.go(now)
    elif state.phase == "running" and zero is None and elapsed > 40.0 and rng.random() < 0.3:
        hand.go(now)


def asks(state: PlateState, now: float) -> bool:
    """Whether the design has the stage ask before it is left, or said to have cleared, at `now`."""
    zero = clocks.zero(state)
    if state.phase != "running" or state.held or zero is None:
        return (
            endings.of(state.stage).clears and state.phase == "running" and questions.clears_early(state, now)
        )
    if not endings.of(state.stage).calls or developing(state):
        return False
    left = zero - now
    whole = zero - state.since
    return left > 5.0 and (endings.of(state.stage).clears or left > 0.1 * whole)


def check_one_stray(bench: Bench, decision: Decision, after: Bench, now: float) -> str:
    """Assert what a single strike without an open question may do to the bench; return what it did."""
    moved = [
        key
        for key, state in bench.plates.items()
        if key in after.plates and after.plates[key].index != state.index
    ]
    large = bench.large or NEW
    struck = bench.plates[large]
    assert set(moved) <= {large}
    noted = [line for _, lines in decision.events for line in lines if isinstance(line, ev.Acknowledged)]
    if noted and struck.plate and struck.stage.wash is not None:
        assert not moved
        return "change noted"
    if asks(struck, now) and not struck.held:
        assert not moved and after.plates[large].cleared_at == struck.cleared_at, struck.stage.name
        assert decision.refusal is not None
        return "asked or refused"
    if developing(struck):
        assert decision.refusal is None or "went on" in decision.refusal or "now" in decision.refusal
    return "taken" if decision.refusal is None else "refused"


@pytest.mark.parametrize("seed", range(4))
def test_no_single_stray_strike_moves_a_plate_out_of_a_stage_that_asks(seed: int) -> None:
    """Strikes at random instants over random overlapping plates: one alone never leaves a stage that asks.

    The developer and the exposure are never held back, and every question is answered within its window and
    at no other time.
    """
    rng = random.Random(seed)
    hand, now = Hand(), 0.0
    counts: dict[str, int] = {}
    answered = 0
    while sum(counts.values()) < STRAYS // 4:
        now += rng.uniform(0.5, 6.0)
        for _ in range(20):  # automatic zeros, in the order of their instants
            zeros = [
                (zero, key) for key, state in hand.bench.plates.items()
                if (zero := clocks.automatic_zero(state)) is not None and zero <= now
            ]  # fmt: skip
            if not zeros:
                break
            hand.do(min(zeros)[0], want.Zero(min(zeros)[1]))
        hand.bench = large_place.settle(hand.bench, now)
        for state in hand.bench.rack:
            if now - state.since > 100.0:
                hand.do(now, want.FinishUnvarnished(state.plate))
        hand.bench = without_ended(hand.bench, now)
        plate_work(hand, rng, now)
        if rng.random() < 0.25 and hand.bench.shown is not None and hand.bench.shown.on_bench:
            now += 9.0 if questions.is_open(hand.bench.shown, now) else 0.5
            bench = large_place.settle(hand.bench, now)
            if bench.shown is None or not bench.shown.on_bench or bench.large is None:
                continue
            if any((z := clocks.automatic_zero(s)) is not None and z <= now for s in bench.plates.values()):
                continue
            hand.bench = bench
            cause = Cause(at(now), now)
            go = want.Go(plate=f"p{hand.count}", number=hand.count)
            decision = decide_all.decide_intent(bench, go, cause)
            after = benches.apply_decision(bench, decision)
            kind = check_one_stray(bench, decision, after, now)
            counts[kind] = counts.get(kind, 0) + 1
            hand.go(now)
            shown = hand.bench.shown
            question = None if shown is None else shown.question
            if kind == "asked or refused" and question is not None and question.since == now:
                answered += check_answers(hand.bench, now)
    assert counts["asked or refused"] > 20 and counts["taken"] > 20 and answered > 10, counts


def check_answers(bench: Bench, asked: float) -> int:
    """Assert when the question asked at `asked` is answered, and return 1; the bench is left as it is."""
    taken = {}
    for after in (0.2, 0.99, 1.01, 4.0, 7.99, 8.01):
        cause = Cause(at(asked + after), asked + after)
        zeros = [clocks.automatic_zero(state) for state in bench.plates.values()]
        if any(zero is not None and zero <= cause.up for zero in zeros):
            return 0
        decision = decide_all.decide_intent(bench, want.Go(plate="px", number=99), cause)
        later = benches.apply_decision(bench, decision)
        state = bench.shown
        assert state is not None
        if state.question is not None and state.question.asks == "hand":
            return 0
        now_there = later.plates[bench.large or NEW]
        left = now_there.index != state.index or now_there.cleared_at != state.cleared_at
        if after > 8.0 and not asks(state, cause.up):
            continue
        if any(asked < call <= cause.up for _, call in repeats.call_instants(state, asked, cause.up)):
            assert not left  # the strike is for the change of the water that was called since
            continue
        taken[after] = left
    inside = {after: 1.0 <= after <= 8.0 for after in taken}
    assert taken == inside
    return 1


def without_ended(bench: Bench, now: float) -> Bench:
    """Return the bench without the finished plates, as the session retires them."""
    from msgspec.structs import replace

    plates = {key: s for key, s in bench.plates.items() if s.phase != "ended" or key == bench.large}
    return replace(bench, plates=plates)
