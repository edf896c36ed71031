"""What became of a fault on the judged plates after one that had it."""

from __future__ import annotations

from darkroom.faults.answer import Since
from darkroom.faults.history import BottleThen
from darkroom.faults.since import since
from darkroom.faults.since_words import since_text
from tests.kit.fault_plates import plate, with_bottles

FOG = "fog"
D4 = with_bottles(developer=BottleThen(name="D-4", id="d4"))


def test_the_next_plate_without_it_is_told_with_what_was_another() -> None:
    """Plate 36 with developer D-4 came without the fog of plate 35 with D-3."""
    asked = plate(35, FOG)
    found = since(asked, [plate(34), asked, plate(36, bottles=D4, holder="holder 2")], FOG)
    assert found == Since(fault=FOG, lacking=1, lacking_from=36, other=("developer D-4", "holder 2"))
    assert since_text(found) == "since then: 1 judged plate without it (36, developer D-4, holder 2)"


def test_more_plates_with_it_are_counted_up_to_the_first_without() -> None:
    """Three more with it, two without, and then it came again; plates that nobody judged do not count."""
    asked = plate(31, FOG)
    more = [plate(number, FOG, bottles=D4) for number in (32, 33, 34)]
    assert since_text(since(asked, [asked, *more], FOG)) == "since then: 3 more with it (to 34)"
    unjudged = plate(35, judged=False)
    good = [plate(36, bottles=D4), plate(37)]
    history = [asked, *more, unjudged, *good, plate(38, FOG)]
    assert since_text(since(asked, history, FOG)) == (
        "since then: 3 more with it (to 34); 2 judged plates without it (from 36); again with plate 38"
    )


def test_without_later_judged_plates_of_the_process_nothing_is_told() -> None:
    """The newest plate, and one after which only others' plates or unjudged ones came."""
    asked = plate(31, FOG)
    later = [plate(32, process="tintype"), plate(33, judged=False)]
    assert since(asked, [plate(30), asked], FOG) is None
    assert since(asked, [plate(30), asked, *later], FOG) is None
    assert since(asked, [plate(30)], FOG) is None
