"""How many plates had the fault and how many had not, by bottle, holder, camera and process."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.stats import chi2, chi2_contingency

from darkroom.faults.answer import FaultTally
from darkroom.faults.history import BottleThen
from darkroom.faults.tallies import LAST, MOST, TELLING, tallies, telling
from tests.kit.fault_plates import blank, plate, with_bottles

FOG = "general fog"
NEW = with_bottles(developer=BottleThen(name="D-4", id="d4"))


def row(kind: str, name: str, having: int, lacking: int) -> FaultTally:
    """Return a row about the fog."""
    return FaultTally(fault=FOG, kind=kind, name=name, having=having, lacking=lacking)


def test_a_new_developer_stands_out() -> None:
    """None of thirty plates with the old one, all of four with the new; what all plates share is not told."""
    history = [plate(number) for number in range(1, 31)]
    history += [plate(number, FOG, bottles=NEW) for number in range(31, 35)]
    expected = (row("developer", "D-4", 4, 0), row("developer", "D-3", 0, 30))
    assert tallies(history[-1], history, (FOG,)) == expected


def test_what_comes_with_good_and_bad_plates_alike_tells_nothing() -> None:
    """Two holders with the same share of fog make no row."""
    history = [
        plate(number, *((FOG,) if number % 4 < 2 else ()), holder=f"holder {number % 2}")
        for number in range(40)
    ]
    assert tallies(history[1], history[:2], (FOG,)) == ()
    assert tallies(history[-3], history, (FOG,)) == ()


def test_unjudged_and_later_plates_do_not_count() -> None:
    """Only what was judged up to this plate is counted."""
    history = [plate(number) for number in range(1, 11)]
    asked = plate(11, FOG, bottles=NEW)
    later = [plate(number, FOG) for number in range(12, 30)]
    unjudged = [plate(number, judged=False, bottles=NEW) for number in range(30, 40)]
    found = tallies(asked, (*unjudged, *history, asked, *later), (FOG,))
    assert found == (row("developer", "D-4", 1, 0), row("developer", "D-3", 0, 10))


def test_the_most_telling_come_first_and_eight_at_most() -> None:
    """Whatever changes with the fault is told by how well it tells the plates apart."""
    roles = ("collodion", "bath", "developer", "fixer", "varnish")
    old = {role: BottleThen(name=f"{role} 1") for role in roles}
    new = {role: BottleThen(name=f"{role} 2") for role in roles}
    history = [blank(number, bottles=old, holder="a") for number in range(20)]
    history += [blank(20 + number, FOG, bottles=new, holder="b") for number in range(5)]
    history.append(blank(30, bottles={**old, "developer": new["developer"]}, holder="b"))
    history.append(blank(31, FOG, bottles=new, holder="b"))
    found = tallies(history[-1], history, (FOG,))
    assert len(found) == MOST
    assert [(one.kind, one.name) for one in found[:4]] == [
        (role, f"{role} 2") for role in ("collodion", "bath", "fixer", "varnish")
    ]
    # the old ones tell as much as the new, so they come before the developer and the holder, which tell less
    assert {one.kind for one in found} == {"collodion", "bath", "fixer", "varnish"}


def test_two_bottles_of_one_name_are_two() -> None:
    """A name that was used again is told by the bottle's id."""
    again = with_bottles(developer=BottleThen(name="D-3", id="another"))
    history = [plate(number) for number in range(1, 11)]
    asked = plate(11, FOG, bottles=again)
    assert tallies(asked, (*history, asked), (FOG,)) == (
        row("developer", "D-3", 1, 0),
        row("developer", "D-3", 0, 10),
    )


def test_processes_are_compared_and_three_plates_tell_nothing() -> None:
    """Fog that comes with one process alone is told; of three plates nothing is."""
    history = [plate(number, process="black glass") for number in range(1, 9)]
    history += [plate(number, FOG) for number in range(9, 12)]
    found = tallies(history[-1], history, (FOG,))
    assert found[0] == row("process", "clear glass", 3, 0)
    assert tallies(history[-1], history[-3:], (FOG,)) == ()


def test_the_last_four_hundred_plates_are_counted() -> None:
    """Older ones do not count, this plate does; of four plates a row can be told."""
    old = [blank(number, FOG, holder="a") for number in range(5)]
    new = [blank(number, holder="a") for number in range(5, 404)]
    asked = blank(404, FOG, holder="b")
    expected = (row("holder", "b", 1, 0), row("holder", "a", 0, LAST - 1))
    assert tallies(asked, (*old, *new, asked), (FOG,)) == expected
    four = [blank(1, holder="a"), blank(2, holder="a"), blank(3, FOG, holder="b"), blank(4, FOG, holder="b")]
    assert tallies(four[-1], four, (FOG,))[0] == row("holder", "b", 2, 0)


def test_several_faults_have_their_own_rows() -> None:
    """A row says which fault it counts."""
    history = [plate(number) for number in range(1, 11)]
    asked = plate(11, FOG, "streaks", bottles=NEW)
    assert [one.fault for one in tallies(asked, (*history, asked), ("streaks", FOG))] == [
        FOG, "streaks", FOG, "streaks",
    ]  # fmt: skip


@given(st.tuples(*[st.integers(0, 60)] * 4))
def test_how_telling_a_row_is_agrees_with_a_library(counts: tuple[int, int, int, int]) -> None:
    """The likelihood ratio of the four counts is scipy's, without a correction for continuity."""
    having, lacking, others_having, others_lacking = counts
    assume(having + lacking and others_having + others_lacking)
    assume(having + others_having and lacking + others_lacking)
    table = [[having, lacking], [others_having, others_lacking]]
    expected = chi2_contingency(table, correction=False, lambda_="log-likelihood").statistic
    assert telling(*counts) == pytest.approx(expected, abs=1e-6)


def test_a_row_tells_something_from_one_in_ten_on() -> None:
    """The bound is chi-squared's tenth of one degree of freedom; counts that are all alike tell nothing."""
    assert pytest.approx(chi2.isf(0.1, 1), abs=5e-4) == TELLING
    assert telling(0, 10, 0, 5) == 0.0
    assert telling(0, 0, 3, 5) == 0.0
