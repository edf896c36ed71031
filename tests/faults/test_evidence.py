"""Every figure of the closed list, from plates whose figures are worked out by hand."""

from __future__ import annotations

import math
from typing import Any

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.faults.evidence import FIGURES, figures_of
from darkroom.faults.evidence_names import BY_NAME, NAMES
from darkroom.faults.history import BottleThen, PlateFigures, StageFigures
from tests.kit.fault_plates import USUAL, at_celsius, blank, plate, with_bottles, with_stages

FOG = "general fog"


def figure(name: str, asked: PlateFigures, *earlier: PlateFigures, faults: tuple[str, ...] = (FOG,)) -> Any:
    """Return one figure of a plate after these, None where it is not recorded."""
    return figures_of(asked, (*earlier, asked), faults).get(name)


def usual_plates(count: int) -> list[PlateFigures]:
    """Return so many plates alike."""
    return [plate(number) for number in range(1, count + 1)]


def test_every_name_of_the_closed_list_is_computed() -> None:
    """The table and the list of names have the same names, in the same order."""
    assert [name.name for name in NAMES] == list(FIGURES)


def test_a_plate_of_which_all_is_recorded_has_every_figure() -> None:
    """What each name comes to for the usual plate, worked out by hand."""
    history = [
        plate(number, holder=f"holder {1 + number % 2}", camera=f"camera {number % 2}")
        for number in range(1, 9)
    ]
    asked = plate(9, FOG, camera="camera 1")
    expected = {
        "coat seconds": 40.0, "coat over usual": 0.0, "bath share": 100.0, "bath temperature": 19.0,
        "bath over usual": 0.0, "drain seconds": 30.0, "drain over usual": 0.0, "wet share": 50.0,
        "room temperature": 20.0, "humidity": 55.0, "exposure over proposal": 0.0, "judged stops": 0.0,
        "developer temperature": 20.0, "developer over usual": 0.0, "developed share": 100.0,
        "developed over usual": 0.0, "first seen": 4.0, "stop seconds": 20.0, "clearing ratio": 1.25,
        "fixed share": 100.0, "wash share": 100.0, "collodion age": 30.0, "developer age": 2.0,
        "bath strength": 9.0, "bath iodised": 1.0, "plates on bath": 40.0, "plates since filtered": 12.0,
        "plates since sunned": 40.0, "plates on developer": 7.0, "plates on fixer": 9.0,
        "same fault before": 0.0, "holder": 0.0, "camera": 0.0, "new collodion": 0.0, "new bath": 0.0,
        "new developer": 0.0, "new fixer": 0.0, "new varnish": 0.0, "bath treated": 0.0,
    }  # fmt: skip
    assert figures_of(asked, (*history, asked), (FOG,)) == pytest.approx(expected)
    assert set(BY_NAME) - set(expected) == {"substratum"}


def test_an_empty_record_has_no_figure() -> None:
    """Nothing is made up for a plate of which nothing is recorded."""
    asked = blank(1, FOG)
    assert figures_of(asked, (asked,), (FOG,)) == {}


@pytest.mark.parametrize(
    ("name", "changes", "value"),
    [
        ("coat seconds", {"stages": with_stages(coat=StageFigures(seconds=75.0))}, 75.0),
        ("coat over usual", {"stages": with_stages(coat=StageFigures(seconds=60.0))}, 50.0),
        ("bath share", {"stages": with_stages(bath=StageFigures(seconds=105.0, planned=210.0))}, 50.0),
        ("bath over usual", {"stages": with_stages(bath=StageFigures(seconds=210.0, celsius=24.5))}, 5.5),
        ("drain seconds", {"stages": with_stages(drain=StageFigures(seconds=90.0))}, 90.0),
        ("drain over usual", {"stages": with_stages(drain=StageFigures(seconds=15.0))}, -50.0),
        ("wet share", {"wet_used": 330.0}, 110.0),
        ("humidity", {"humidity": 20.0}, 20.0),
        ("exposure over proposal", {"exposed": 16.0}, 1.0),
        ("exposure over proposal", {"exposed": 2.0}, -2.0),
        ("judged stops", {"stops": -1.5}, -1.5),
        ("developer temperature", at_celsius(26.0), 26.0),
        ("developer over usual", at_celsius(26.0), 6.0),
        ("developed share", {"stages": with_stages(develop=StageFigures(seconds=18.0, planned=15.0))}, 120.0),
        ("developed over usual", {"stages": with_stages(develop=StageFigures(seconds=30.0))}, 100.0),
        ("first seen", {"first_seen": 1.0}, 1.0),
        ("stop seconds", {"stages": with_stages(stop=StageFigures(seconds=3.0))}, 3.0),
        ("clearing ratio", {"stages": with_stages(fix=StageFigures(seconds=200.0, cleared=80.0))}, 2.0),
        ("fixed share", {"stages": with_stages(fix=StageFigures(seconds=60.0, cleared=40.0))}, 75.0),
        ("fixed share", {"stages": with_stages(fix=StageFigures(seconds=60.0, planned=80.0))}, 75.0),
        ("wash share", {"stages": with_stages(wash=StageFigures(seconds=150.0, planned=600.0))}, 25.0),
        ("collodion age", {"bottles": with_bottles(collodion=BottleThen(name="C", age_days=200.0))}, 200.0),
        ("bath iodised", {"bottles": with_bottles(bath=BottleThen(name="B", iodised=False))}, 0.0),
        ("plates since filtered", {"bottles": with_bottles(bath=BottleThen(name="B", plates=31))}, 31.0),
        ("plates since sunned",
         {"bottles": with_bottles(bath=BottleThen(name="B", plates=31, since={"sunned": 4}))}, 4.0),
        ("substratum", {"bottles": with_bottles(substratum=BottleThen(name="albumen"))}, 1.0),
    ],
)  # fmt: skip
def test_figures_follow_the_plate(name: str, changes: dict[str, Any], value: float) -> None:
    """Each figure of one plate that differs from ten usual ones, worked out by hand."""
    assert figure(name, plate(11, FOG, **changes), *usual_plates(10)) == pytest.approx(value)


def test_without_a_plan_the_files_own_range_stands_for_it() -> None:
    """A stage told by eye is 100 % within its range, and is held against the end that it passed."""
    for seconds, value in ((15.0, 100.0), (30.0, 100.0), (5.0, 50.0), (60.0, 200.0)):
        stage = StageFigures(seconds=seconds, usual=(10.0, 30.0))
        asked = plate(1, FOG, stages={"develop": stage})
        assert figure("developed share", asked) == pytest.approx(value)
    assert figure("developed share", plate(1, stages={"develop": StageFigures(seconds=5.0)})) is None


def test_a_reading_of_the_stage_wins_over_that_of_the_day() -> None:
    """The bath is as warm as it was read for its stage; without that, as it was read at all."""
    stages = with_stages(bath=StageFigures(seconds=210.0, celsius=24.0))
    assert figure("bath temperature", plate(1, stages=stages)) == 24.0
    stages = with_stages(bath=StageFigures(seconds=210.0))
    assert figure("bath temperature", plate(1, stages=stages)) == 19.0
    assert figure("bath temperature", plate(1, stages=stages, temperatures={})) is None


@pytest.mark.parametrize(
    ("name", "changes"),
    [
        ("humidity", {"humidity": 140.0}),
        ("first seen", {"first_seen": -1.0}),
        ("developer temperature", at_celsius(90.0)),
        ("developer over usual", at_celsius(90.0)),
        ("wet share", {"wet_used": 4000.0}),
        ("exposure over proposal", {"exposed": 8000.0}),
        ("humidity", {"humidity": math.nan}),
    ],
)
def test_what_cannot_be_is_not_recorded(name: str, changes: dict[str, Any]) -> None:
    """A value outside the bounds of its name is not believed."""
    assert figure(name, plate(11, FOG, **changes), *usual_plates(10)) is None


@pytest.mark.parametrize(
    "changes",
    [
        {"exposed": 0.0}, {"proposed": 0.0}, {"wet_about": 0.0},
        {"stages": {part: StageFigures(seconds=0.0, planned=0.0, cleared=0.0) for part in USUAL.stages}},
        {"bottles": with_bottles(fixer=BottleThen(name="F", fresh_clearing=0.0))},
    ],
)  # fmt: skip
def test_nothing_is_divided_by_zero(changes: dict[str, Any]) -> None:
    """A time, a proposal or a usual of 0 gives no figure, and no error."""
    history = [plate(number, **changes) for number in range(1, 10)]
    figures_of(history[-1], history, (FOG,))


def test_the_lack_of_a_substratum_is_told_by_other_plates_alone() -> None:
    """A plate without one is 0 only where this photographer names it on others."""
    assert figure("substratum", plate(3), plate(1), plate(2)) is None
    albumen = with_bottles(substratum=BottleThen(name="albumen"))
    assert figure("substratum", plate(3), plate(1, bottles=albumen), plate(2)) == 0.0


def test_the_same_fault_before_counts_judged_plates_of_the_process_in_a_row() -> None:
    """Unjudged plates and other processes are passed over; one judged without it ends the row."""
    earlier = [
        plate(1, FOG),
        plate(2),
        plate(3, FOG),
        plate(4, judged=False),
        plate(5, process="black glass"),
        plate(6, FOG, "streaks"),
    ]
    assert figure("same fault before", plate(7, FOG), *earlier) == 2
    assert figure("same fault before", plate(7, FOG), plate(1, process="black glass")) is None
    assert figure("same fault before", plate(40, FOG), *(plate(n, FOG) for n in range(1, 40))) == 20


def test_a_holder_that_began_to_leak_is_seen_by_its_last_ten_plates() -> None:
    """Thirty clean plates do not hide that two of its last ten fogged; the others' last ten had one."""
    clean = [plate(number, holder="old") for number in range(30)]
    first = [plate(30 + number, FOG, holder="other") for number in range(5)]
    rest = [plate(40 + number, holder="other") for number in range(9)]
    leaks = [plate(50, FOG, holder="old"), plate(51, FOG, holder="old"), plate(52, FOG, holder="other")]
    assert figure("holder", plate(60, FOG, holder="old"), *clean, *first, *rest, *leaks) == pytest.approx(10)


def test_a_holder_is_held_against_the_others() -> None:
    """Two of four plates with this holder and one of five with the others: 30 points more often."""
    mine = [plate(number, *faults, holder="old") for number, faults in enumerate([(FOG,), (FOG,), (), ()])]
    rest = [plate(4 + number, *faults) for number, faults in enumerate([(FOG,), (), (), (), ()])]
    assert figure("holder", plate(20, FOG, holder="old"), *mine, *rest) == pytest.approx(30.0)
    assert figure("holder", plate(20, FOG), *mine, *rest) == pytest.approx(-30.0)
    assert figure("holder", plate(20, FOG, holder="old"), *mine[:3], *rest[:3]) == pytest.approx(100 / 3)
    for fewer in ((*mine[:2], *rest), (*mine, *rest[:2])):
        assert figure("holder", plate(20, FOG, holder="old"), *fewer) is None
    unjudged = [msgspec.structs.replace(other, judged=False) for other in rest]
    assert figure("holder", plate(20, FOG, holder="old"), *mine, *unjudged) is None
    assert figure("holder", plate(20, FOG, holder=None), *mine, *rest) is None
    assert figure("camera", plate(20, FOG, camera="other"), *mine, *rest) is None


def test_without_a_fault_nothing_about_a_fault_is_known() -> None:
    """The figures that depend on the fault are those of the list, and need one to be asked about."""
    history = [plate(number, holder=f"holder {number % 2}", camera=f"{number % 2}") for number in range(12)]
    found = figures_of(history[-1], history, ())
    assert {name.name for name in NAMES if name.about_fault} & set(found) == set()
    asked = plate(20, FOG, camera="1")
    both = figures_of(asked, (*history, asked), (FOG,))
    assert set(both) - set(found) == {name.name for name in NAMES if name.about_fault}


def test_a_bottle_is_new_when_the_fault_began_with_it() -> None:
    """The first plate of the run counts, not this one; an unjudged plate between tells nothing."""
    new = with_bottles(developer=BottleThen(name="D-4", id="d4"))
    earlier = [plate(1), plate(2, judged=False, bottles=new), plate(3, FOG, bottles=new)]
    asked = plate(4, FOG, bottles=new)
    assert figure("new developer", asked, *earlier) == 1.0
    assert figure("new bath", asked, *earlier) == 0.0
    later = with_bottles(developer=BottleThen(name="D-5", id="d5"))
    assert figure("new developer", plate(4, FOG, bottles=later), plate(1), plate(3, FOG)) == 0.0


def test_a_fault_that_stays_with_the_old_bottle_did_not_begin_with_it() -> None:
    """Fog that began with D-4 and stays when D-3 is taken again: the best test of D-4 speaks against it."""
    d4 = with_bottles(developer=BottleThen(name="D-4", id="d4"))
    earlier = [plate(1), plate(2), plate(3, FOG, bottles=d4)]
    assert figure("new developer", plate(4, FOG, bottles=d4), *earlier) == 1.0
    assert figure("new developer", plate(4, FOG), *earlier) == 0.0
    assert figure("new developer", plate(4, FOG, bottles={}), *earlier) is None


def test_a_bottle_that_had_good_plates_before_is_not_new() -> None:
    """D-3 after D-4 again, and fog: with its own good plates before it did not begin with it."""
    d4 = with_bottles(developer=BottleThen(name="D-4", id="d4"))
    assert figure("new developer", plate(3, FOG), plate(1), plate(2, bottles=d4)) == 0.0
    assert figure("new developer", plate(3, FOG), plate(1, FOG), plate(2, bottles=d4)) == 1.0
    assert figure("new developer", plate(3, FOG), plate(1, judged=False), plate(2, bottles=d4)) == 1.0


def test_whether_a_bottle_is_new_may_not_be_known() -> None:
    """Without a plate before the run, or without a bottle on either, nothing is said."""
    assert figure("new developer", plate(1, FOG)) is None
    assert figure("new developer", plate(2, FOG, bottles={}), plate(1)) is None
    assert figure("new developer", plate(2, FOG), plate(1, bottles={})) is None
    assert figure("new developer", plate(2), plate(1)) is None


def test_bottles_without_an_id_are_told_by_name() -> None:
    """A name that stays is the same bottle; one name with two ids is two bottles."""
    named = with_bottles(developer=BottleThen(name="D-3"))
    assert figure("new developer", plate(2, FOG, bottles=named), plate(1)) == 0.0
    again = with_bottles(developer=BottleThen(name="D-3", id="another"))
    assert figure("new developer", plate(2, FOG, bottles=again), plate(1)) == 1.0


def test_a_bath_was_treated_between_the_plates_or_not() -> None:
    """Only what was done after the last good plate and before the first of the run counts."""

    def bath(days: float, id: str | None = "b1") -> dict[str, BottleThen]:
        return with_bottles(bath=BottleThen(name="B-1", id=id, changed={"topped_up": days * 86400}))

    assert figure("bath treated", plate(6, FOG, bottles=bath(5.5)), plate(5)) == 1.0
    assert figure("bath treated", plate(6, FOG, bottles=bath(4.5)), plate(5)) == 0.0
    assert figure("bath treated", plate(6, FOG), plate(5)) == 0.0
    assert figure("bath treated", plate(6, FOG, bottles=bath(5.0)), plate(5)) == 0.0
    assert figure("bath treated", plate(6, FOG, bottles=bath(6.0)), plate(5)) == 1.0
    assert figure("bath treated", plate(6, FOG, bottles=bath(5.5, None)), plate(5)) is None
    assert figure("bath treated", plate(6, FOG, bottles=bath(5.5))) is None


def test_a_fault_that_stays_with_another_bath_did_not_begin_with_the_treatment() -> None:
    """The bath was topped up and fog began; with a second bath it stays, so the topping up is not it."""
    treated = with_bottles(bath=BottleThen(name="B-1", id="b1", changed={"topped_up": 5.5 * 86400}))
    other = with_bottles(bath=BottleThen(name="B-2", id="b2"))
    earlier = [plate(5), plate(6, FOG, bottles=treated)]
    assert figure("bath treated", plate(7, FOG, bottles=treated), *earlier) == 1.0
    assert figure("bath treated", plate(7, FOG, bottles=other), *earlier) == 0.0
    assert figure("bath treated", plate(7, FOG, bottles={}), *earlier) is None


@given(st.data())
def test_later_plates_never_count(data: st.DataObject) -> None:
    """Whatever is put behind a plate in the history, its own figures stay what they were."""
    draw = st.builds(
        lambda foggy, judged, seconds, celsius, holder, bottle: {
            "faults": (FOG,) if foggy else (),
            "judged": judged or foggy,
            "stages": with_stages(
                coat=StageFigures(seconds=seconds), develop=StageFigures(seconds=seconds, celsius=celsius)
            ),
            "holder": holder,
            "bottles": with_bottles(developer=BottleThen(name=bottle, id=bottle)),
        },
        st.booleans(),
        st.booleans(),
        st.floats(1, 60),
        st.floats(5, 40),
        st.sampled_from(("one", "two")),
        st.sampled_from(("D-1", "D-2")),
    )
    drawn = data.draw(st.lists(draw, min_size=1, max_size=30))
    plates = [plate(number, *more.pop("faults"), **more) for number, more in enumerate(drawn)]
    place = data.draw(st.integers(0, len(plates) - 1))
    found = figures_of(plates[place], plates, (FOG,))
    assert found == figures_of(plates[place], plates[: place + 1], (FOG,))
    for name, value in found.items():
        assert BY_NAME[name].low <= value <= BY_NAME[name].high
