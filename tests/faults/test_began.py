"""When a fault began, and what was new that day."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from darkroom.faults.answer import Began
from darkroom.faults.began import began
from darkroom.faults.history import BottleThen
from tests.kit.fault_plates import DAY, at_celsius, plate, with_bottles

FOG = "general fog"
NEW = with_bottles(developer=BottleThen(name="D-4", id="d4"))


def test_thirty_good_plates_then_fog_with_a_new_warm_developer() -> None:
    """It began with plate 31, is in its fourth plate, and the developer was new and warmer."""
    good = [plate(number) for number in range(1, 31)]
    foggy = [plate(number, FOG, bottles=NEW, **at_celsius(26.0)) for number in range(31, 35)]
    assert began(foggy[-1], (*good, *foggy), FOG) == Began(
        fault=FOG,
        plate="plate 31",
        number=31,
        day="2026-05-14",
        plates=4,
        after=30,
        new=("developer D-4", "developer 6 °C warmer"),
    )


def test_unjudged_plates_and_other_processes_do_not_break_a_run() -> None:
    """A run ends at a plate that was judged without the fault, and at nothing else."""
    history = [
        plate(1),
        plate(2, FOG),
        plate(3, judged=False),
        plate(4, process="black glass"),
        plate(5, "streaks", FOG),
    ]
    found = began(plate(6, FOG), history, FOG)
    assert found is not None
    assert (found.number, found.plates, found.after) == (2, 3, 1)
    found = began(plate(7, FOG), (*history, plate(6, "streaks")), FOG)
    assert found is not None
    assert (found.number, found.plates, found.after) == (7, 1, 6)


def test_a_fault_that_was_always_there_has_nothing_new() -> None:
    """Without a judged plate before it nothing is said of what was new."""
    found = began(plate(2, FOG, bottles=NEW), [plate(1, FOG)], FOG)
    assert found is not None
    assert (found.number, found.after, found.new) == (1, None, ())


def test_what_was_there_before_a_pause_is_counted() -> None:
    """Plates of the process with the fault before the run are counted, those of others and later ones not."""
    history = [plate(1, FOG), plate(2, FOG, process="black glass"), plate(3), plate(4, FOG), plate(5, FOG)]
    found = began(plate(4, FOG), history, FOG)
    assert found is not None
    assert (found.number, found.had_before) == (4, 1)
    found = began(plate(5, FOG), [plate(3), plate(4, FOG)], FOG)
    assert found is not None
    assert (found.number, found.had_before) == (4, 0)


def test_a_bottle_that_earlier_plates_had_is_not_new() -> None:
    """D-3, then D-4, then D-3 and fog: back to D-3; a plate nobody judged makes no bottle an old one."""
    d4 = with_bottles(developer=BottleThen(name="D-4", id="d4"))
    found = began(plate(3, FOG), [plate(1), plate(2, bottles=d4)], FOG)
    assert found is not None and (found.new, found.back) == ((), ("developer D-3",))
    found = began(plate(3, FOG), [plate(1, bottles=d4), plate(2, judged=False)], FOG)
    assert found is not None and (found.new, found.back) == (("developer D-3",), ())


def test_a_plate_without_the_fault_has_no_beginning() -> None:
    """What is not marked did not begin, whatever the plates around it have."""
    assert began(plate(2), [plate(1, FOG), plate(2), plate(3, FOG)], FOG) is None


def test_later_plates_do_not_count() -> None:
    """The run ends with the plate that is asked about."""
    asked = plate(2, FOG)
    found = began(asked, [plate(1), asked, plate(3, FOG), plate(4)], FOG)
    assert found is not None and found.plates == 1


def test_treatments_holders_and_cameras_are_told() -> None:
    """What was done to a bottle that stayed, in the order of time, and what the plate sat in."""
    changed = {"topped_up": 1.7 * DAY, "filtered": 1.5 * DAY, "sunned": 0.5 * DAY}
    bottles = with_bottles(bath=BottleThen(name="B-1", id="b1", changed=changed))
    found = began(plate(2, FOG, bottles=bottles, holder="old", camera="box"), [plate(1)], FOG)
    assert found is not None
    assert found.new == ("bath filtered", "bath topped up", "holder old", "camera box")


def test_a_holder_that_takes_turns_is_not_new() -> None:
    """Two holders take turns; a third one is new, and nothing is said where the plate before tells none."""
    good = [plate(number, holder=f"holder {number % 2}") for number in range(1, 11)]
    for holder, new in (("holder 0", ()), ("holder 3", ("holder 3",)), ("3", ("holder 3",)), (None, ())):
        found = began(plate(12, FOG, holder=holder), good, FOG)
        assert found is not None and found.new == new
    untold = plate(11, holder=None)
    found = began(plate(12, FOG, holder="holder 3"), (*good, untold), FOG)
    assert found is not None and found.new == ()


def test_a_bottle_whose_name_says_what_it_is_is_named_once() -> None:
    """A developer called "winter developer" is no "developer winter developer"."""
    bottles = with_bottles(developer=BottleThen(name="winter Developer", id="w"))
    found = began(plate(2, FOG, bottles=bottles), [plate(1)], FOG)
    assert found is not None and found.new == ("winter Developer",)


def test_what_was_done_to_a_bottle_before_its_first_plate_is_not_told_beside_it() -> None:
    """A new bottle is news enough."""
    bottles = with_bottles(bath=BottleThen(name="B-2", id="b2", changed={"filtered": 1.5 * DAY}))
    found = began(plate(2, FOG, bottles=bottles), [plate(1)], FOG)
    assert found is not None and found.new == ("bath B-2",)


def test_a_temperature_is_news_when_it_left_the_usual() -> None:
    """Back to the usual after one cold plate, or less than three degrees, is none."""
    good = [plate(number) for number in range(1, 11)]
    for celsius, new in ((22.9, ()), (23.1, ("developer 3 °C warmer",)), (15.0, ("developer 5 °C colder",))):
        found = began(plate(12, FOG, **at_celsius(celsius)), good, FOG)
        assert found is not None and found.new == new
    cold = plate(11, **at_celsius(14.0))
    found = began(plate(12, FOG, **at_celsius(20.0)), (*good, cold), FOG)
    assert found is not None and found.new == ()


def test_a_change_of_temperature_needs_both_readings_and_goes_one_way() -> None:
    """Exactly three degrees are told; without a reading, or colder than before and warm still, none is."""
    good = [plate(number) for number in range(1, 11)]
    found = began(plate(12, FOG, **at_celsius(23.0)), good, FOG)
    assert found is not None and found.new == ("developer 3 °C warmer",)
    unread = plate(11, **at_celsius(None))
    found = began(plate(12, FOG, **at_celsius(26.0)), (*good, unread), FOG)
    assert found is not None and found.new == ()
    found = began(plate(12, FOG, **at_celsius(None)), good, FOG)
    assert found is not None and found.new == ()
    hot = plate(11, **at_celsius(30.0))
    found = began(plate(12, FOG, **at_celsius(24.0)), (*good, hot), FOG)
    assert found is not None and found.new == ()


def test_without_a_usual_the_last_good_plate_alone_is_compared() -> None:
    """Of few plates a change is told against the plate before."""
    found = began(plate(2, FOG, **at_celsius(26.0)), [plate(1)], FOG)
    assert found is not None and found.new == ("developer 6 °C warmer",)


@given(st.lists(st.sampled_from(("fog", "good", "unjudged")), max_size=30))
def test_the_run_is_what_a_count_from_the_end_finds(kinds: list[str]) -> None:
    """Counted independently: plates with the fault back to the first judged one without it."""
    history = [
        plate(number, *((FOG,) if kind == "fog" else ()), judged=kind != "unjudged")
        for number, kind in enumerate(kinds)
    ]
    asked = plate(len(kinds), FOG)
    found = began(asked, (*history, asked), FOG)
    told = [kind for kind in kinds if kind != "unjudged"]
    back = told[::-1].index("good") if "good" in told else len(told)
    assert found is not None
    assert found.plates == back + 1
    assert (found.after is None) == ("good" not in told)
