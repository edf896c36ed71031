"""The light after an undo or after a plate was given up: it loosens as late as after any other step."""

from __future__ import annotations

import pytest

from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench import light
from tests.kit.bench import Hand


def bench_light(hand: Hand, now: float) -> str:
    """Return the light of the bench at `now`."""
    return light.bench_light(hand.bench.plates.values(), now)


def test_an_undo_out_of_the_bath_loosens_the_light_ten_seconds_later() -> None:
    """The plate may well lie in the bath: room light is not safe at the strike that takes it back."""
    hand = Hand()
    begun = hand.to_stage("sensitise")
    hand.do(begun + 30.0, want.Undo())
    assert hand.plate.stage.name == "coat"
    assert [bench_light(hand, begun + 30.0 + t) for t in (0.0, 9.9, 10.0)] == ["red", "red", "white"]
    assert begun + 40.0 in light.turns(hand.plate)


@pytest.mark.parametrize("stage", ["fix", "ready", "drain"])
def test_a_plate_given_up_asks_for_its_light_ten_seconds_more(stage: str) -> None:
    """Two seconds into the fixer, or before the exposure, the safelight counts on."""
    hand = Hand()
    begun = hand.to_stage(stage)
    before = bench_light(hand, begun + 2.0)
    hand.do(begun + 2.0, want.Abandon("fogged"))
    seen = [bench_light(hand, begun + 2.0 + t) for t in (0.0, 9.9, 10.0)]
    assert before == "red" and seen == ["red", "red", "white"]


def test_a_plate_given_up_in_room_light_asks_for_no_safelight() -> None:
    """Late in the fixer nothing tightens when the plate is given up."""
    hand = Hand()
    begun = hand.to_stage("fix")
    hand.do(begun + 30.0, want.Abandon("fogged"))
    assert bench_light(hand, begun + 30.1) == "white"


def test_the_light_after_many_undos_folds_each_of_them_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Step by step taken back and put back within 10 s: as many folds as undos, and the safelight stays."""
    hand = Hand()
    hand.to_stage("fix")
    now, folded = 311.5, []
    for count in range(10):
        hand.do(now + 0.8 * count, want.PutBack() if count % 2 else want.Undo())
    undone = [line for line in hand.plate.lines if isinstance(line, ev.Undone)]
    whole = light.fold_before
    monkeypatch.setattr(light, "fold_before", lambda state, line: folded.append(1) or whole(state, line))
    assert light.plate_light(hand.plate, now + 8.0) == "red"
    assert len(folded) == len(undone) == 10
