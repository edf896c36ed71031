"""A bottle that is changed while plates are on the bench: what is still to begin takes it, nothing else."""

from __future__ import annotations

from typing import Any

from msgspec.structs import replace

from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench import refusals
from darkroom.bench.all_plates import NEW, without
from darkroom.bench.bottle_change import chosen_for, with_at_hand, with_bottle, without_choice
from darkroom.bench.bottles import Bottle, bottle_at
from darkroom.bench.bottles_at_hand import BottleAtHand, roles_after_rack, roles_before_rack, serving
from darkroom.resources import load_process
from tests.kit.bench import Hand

MORNING = {"bath": "b1", "developer": "d1", "fixer": "f1"}
NAMES = {"bath": "B-1", "developer": "D-1", "fixer": "F-1"}
BATH_2 = BottleAtHand(id="b2", name="B-2", what="bath", made="2026-03-01")
DEVELOPER_2 = BottleAtHand(id="d2", name="D-2", what="developer", made="2026-03-01")
FIXER = BottleAtHand(id="f1", name="F-1", what="fixer", made="2026-03-01")
VARNISH = BottleAtHand(id="v1", name="V-1", what="varnish", made="2026-03-01")


def a_bench(*bottles: BottleAtHand, **more: Any) -> Hand:
    """Return a bench that has these bottles at hand, whose plates begin with those of the morning."""
    hand = Hand(bottles=NAMES, bottle_ids=MORNING, **more)
    hand.bench = replace(hand.bench, bottles=bottles)
    return hand


def change(hand: Hand, role: str, bottle: BottleAtHand, plate: str | None = None) -> None:
    """Choose another bottle."""
    hand.bench = with_bottle(hand.bench, role, bottle, plate)


def starts(hand: Hand, plate: str = "p1") -> dict[str, tuple[object, object]]:
    """Return {stage: (ids, names)} of the starts of stages that name a bottle."""
    lines = [line for line in hand.lines[plate] if isinstance(line, ev.StageStarted)]
    return {line.stage: (line.bottle_ids, line.bottles) for line in lines if line.bottle_ids}


def test_the_line_of_the_stage_that_begins_says_the_changed_bottle() -> None:
    """Changed while the plate lay in the bath, the developer stands in the developer's start alone."""
    hand = a_bench(DEVELOPER_2)
    hand.to_stage("sensitise")
    change(hand, "developer", DEVELOPER_2)
    assert chosen_for(hand.bench, "p1", "developer") == "d2"
    assert hand.replayed().bottle_changes == ()  # nothing was used yet
    for up in (240.0, 260.0, 262.0, 263.0, 270.0, 272.0, 274.0):
        hand.go(up)
    assert starts(hand) == {"develop": ({"developer": "d2"}, {"developer": "D-2"})}
    assert bottle_at(hand.replayed(), "developer") == Bottle(id="d2", name="D-2")
    assert hand.replayed().start.bottle_ids == MORNING


def test_a_stage_that_has_begun_keeps_its_bottle() -> None:
    """A plate in the bath stays in it; the next one, not begun, takes the other with its first line."""
    hand = a_bench(BATH_2)
    hand.to_stage("sensitise")
    hand.new(100.0)
    change(hand, "bath", BATH_2)
    assert chosen_for(hand.bench, "p1", "bath") == "b1" and hand.bench.changed_bottles == {}
    new = hand.bench.plates[NEW].start
    assert new.bottle_ids == {**MORNING, "bath": "b2"} and new.bottles == {**NAMES, "bath": "B-2"}
    hand.go(110.0, 111.0)
    assert hand.bench.plates["p2"].start.bottle_ids == new.bottle_ids and starts(hand, "p2") == {}


def test_a_change_back_to_the_mornings_bottle_writes_nothing() -> None:
    """What the plate's first line says already is not said again."""
    bath = BottleAtHand(id="b1", name="B-1", what="bath", made="2026-02-01")
    hand = a_bench(BATH_2, bath)
    hand.to_stage("coat")
    change(hand, "bath", BATH_2)
    change(hand, "bath", bath)
    hand.go(30.0)
    assert starts(hand) == {} and hand.plate.stage.name == "sensitise"


def test_a_start_that_was_taken_back_says_the_bottle_again() -> None:
    """Undone and struck again, also after another change, the stage's line says what it takes now."""
    hand = a_bench(BATH_2)
    hand.to_stage("coat")
    change(hand, "bath", BATH_2)
    hand.go(30.0)
    hand.do(32.0, want.Undo())
    assert bottle_at(hand.replayed(), "bath") == Bottle(id="b1", name="B-1")
    third = BottleAtHand(id="b3", name="B-3", what="bath", made="2026-03-01")
    change(hand, "bath", third)
    hand.go(36.0)
    assert bottle_at(hand.replayed(), "bath", 2) == Bottle(id="b3", name=None)
    assert starts(hand) == {"sensitise": ({"bath": "b3"}, None)}  # the book was read anew: it has no name


def test_a_stage_that_begins_by_itself_says_its_bottle() -> None:
    """The fixer follows the water at an automatic zero: that line has the bottle too."""
    fixer = BottleAtHand(id="f2", name="F-2", what="fixer", made="2026-03-01")
    hand = a_bench(fixer)
    hand.to_stage("stop")
    change(hand, "fixer", fixer)
    hand.zero(310.0)
    assert starts(hand) == {"fix": ({"fixer": "f2"}, {"fixer": "F-2"})}


def test_the_varnish_is_chosen_when_the_plate_leaves_the_rack() -> None:
    """It belongs to one plate; a change of the day's varnish leaves the plates on the rack alone."""
    hand = a_bench(VARNISH)
    hand.to_stage("wash")
    hand.go(1290.0)
    assert hand.bench.plates["p1"].racked
    change(hand, "varnish", VARNISH)
    assert hand.bench.changed_bottles == {}
    change(hand, "varnish", VARNISH, "p1")
    hand.do(5000.0, want.FromRack("p1"))
    assert starts(hand) == {}  # the plate is warmed first
    hand.go(5010.0, 5020.0)
    assert starts(hand) == {"varnish": ({"varnish": "v1"}, {"varnish": "V-1"})}
    assert without(hand.bench, "p1").changed_bottles == {}


def test_a_varnish_that_is_in_no_book_takes_the_chosen_one_back() -> None:
    """Chosen for a plate that could not leave the rack, a bottle is not told of another's varnishing."""
    hand = a_bench(VARNISH)
    hand.to_stage("wash")
    hand.go(1290.0)
    change(hand, "varnish", VARNISH, "p1")
    hand.bench = without_choice(hand.bench, "varnish", "p1")
    hand.do(5000.0, want.FromRack("p1"))
    hand.go(5010.0, 5020.0)
    assert starts(hand) == {} and hand.plate.stage.name == "varnish"


def test_which_roles_are_chosen_before_the_plate_and_which_at_the_rack() -> None:
    """Collodion, bath, developer and fixer stand on the form of a tintype, its varnish does not."""
    tintype = load_process("tintype")
    assert roles_before_rack(tintype) == ("collodion", "bath", "developer", "fixer")
    assert roles_after_rack(tintype) == ("varnish",)


def test_a_fixer_serves_both_baths_and_what_ripens_comes_last() -> None:
    """A bottle of fixer can stand as the second fixer; a varnish cannot; one in use is offered first."""
    young = replace(FIXER, id="f2", name="F-2", ripening=True)
    assert serving([young, VARNISH, FIXER], "fixer_2", None) == (FIXER, young)
    assert serving([VARNISH], "fixer", None) == ()


def test_without_bottles_there_is_nothing_to_change() -> None:
    """The menu's row is dead where the book has no bottle, also on an empty bench, and alive with one."""
    hand = Hand()
    assert hand.do(1.0, want.ChangeBottle()).refusal == refusals.NO_BOTTLES
    assert a_bench(BATH_2).do(1.0, want.ChangeBottle()).refusal is None


def test_a_plate_that_has_not_begun_loses_a_bottle_that_is_gone() -> None:
    """Discarded before the first press, it is in neither member; what is still there stays."""
    hand = a_bench(BATH_2)
    hand.new(0.0)
    hand.bench = with_at_hand(hand.bench, (FIXER,))
    assert hand.bench.bottles == (FIXER,)
    assert hand.bench.plates[NEW].start.bottle_ids == {"fixer": "f1"}
    assert hand.bench.plates[NEW].start.bottles == {"fixer": "F-1"}
    hand.bench = with_at_hand(hand.bench, ())
    assert hand.bench.plates[NEW].start.bottle_ids is None
    assert hand.bench.plates[NEW].start.bottles is None


def test_cyanide_is_for_cyanide_stages_and_hypo_is_not() -> None:
    """What nobody knows is for either; a bottle that is changed is no matter for a plate it does not fit."""
    cyanide = replace(FIXER, id="k1", name="K-1", fixing="cyanide")
    hypo = replace(FIXER, id="f2", name="F-2", fixing="hypo")
    bottles = (FIXER, cyanide, hypo)
    assert serving(bottles, "fixer", load_process("tintype")) == (FIXER, hypo)
    assert serving(bottles, "fixer", load_process("tintype-cyanide")) == (FIXER, cyanide)
    hand = a_bench(*bottles)
    hand.to_stage("sensitise")
    change(hand, "fixer", cyanide)
    assert hand.bench.changed_bottles == {}
    change(hand, "fixer", hypo)
    assert hand.bench.changed_bottles == {"p1": {"fixer": "f2"}}


def test_a_plate_that_waits_takes_the_only_bottle_that_fits() -> None:
    """Read after the plate was put on, the book still gives it; never cyanide, never against the hand."""
    cyanide = replace(FIXER, id="k1", name="K-1", fixing="cyanide")
    hand = Hand(bottles={"fixer": "K-1"}, bottle_ids={"fixer": "k1"})
    hand.new(0.0)
    before = hand.bench
    assert with_at_hand(before, (cyanide,)).plates[NEW].start.bottle_ids is None
    assert with_at_hand(before, (cyanide, FIXER)).plates[NEW].start.bottle_ids == {"fixer": "f1"}
    assert with_at_hand(before, (cyanide, FIXER), ["fixer"]).plates[NEW].start.bottle_ids is None
