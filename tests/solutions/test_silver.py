"""The silver that plates carry out: arithmetic on stated assumptions."""

from __future__ import annotations

import pytest

from darkroom.solutions.silver import DRAGGED, REACTED, carried_out, reacted_between, strength_after


@pytest.mark.parametrize(
    ("area", "reacted", "dragged"),
    [
        (89.1, 0.0301, 0.0241),  # quarter plate, 3.25 x 4.25 in
        (516.1, 0.1741, 0.1394),  # 8 x 10 in
    ],
)
def test_what_a_plate_takes(area: float, reacted: float, dragged: float) -> None:
    """A plate's salts bind and its wet film carries off what the assumptions come to in a 9 % bath.

    Worked out beforehand from molar masses (IUPAC): 2 mL of collodion for 100 cm² with 0.8 % of ammonium
    iodide and 0.6 % of cadmium bromide, 0.30 mL of bath. Only the arithmetic is checked; the assumptions
    have no source.
    """
    assert carried_out(area, 9.0) == pytest.approx((reacted, dragged), abs=1e-4)


def test_what_clings_alone_leaves_the_strength() -> None:
    """Where the salts bind nothing, plates make less of the bath, not a weaker one."""
    assert strength_after(9.0, 1000.0, 20_000.0, reacted=0.0) == 9.0


def test_the_bath_weakens_as_step_by_step() -> None:
    """The closed form is what thousands of small plates come to one after the other."""
    volume, silver = 1000.0, 90.0
    for _ in range(20_000):  # a square centimetre at a time
        clung = DRAGGED / 100
        silver -= silver * clung / volume + REACTED / 100
        volume -= clung
    assert strength_after(9.0, 1000.0, 20_000.0) == pytest.approx(100 * silver / volume, abs=1e-3)


def test_a_bath_that_is_used_up_holds_nothing() -> None:
    """More plates than the bath can wet, or bind, leave no silver; never less than none."""
    assert strength_after(9.0, 10.0, 1e6) == 0.0
    assert strength_after(0.1, 1000.0, 200_000.0) == 0.0


def test_two_assays_tell_what_is_bound() -> None:
    """What is fitted between two assays leads from the first to the second."""
    fitted = reacted_between(9.0, 8.2, 1000.0, 25_000.0)
    assert fitted is not None
    assert strength_after(9.0, 1000.0, 25_000.0, fitted) == pytest.approx(8.2)
    assert reacted_between(9.0, 9.1, 1000.0, 25_000.0) is None
    assert reacted_between(9.0, 8.2, 1000.0, 100.0) is None
    assert reacted_between(9.0, 8.2, 10.0, 25_000.0) is None
