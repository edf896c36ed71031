"""The rows of why a plate failed, without a screen: what they say before, with and without an answer."""

from __future__ import annotations

import pytest

from darkroom.faults.answer import Advice, Likely, Why
from darkroom.faults.catalogue import Catalogue, Cause, Fault
from darkroom.faults.catalogue import Test as Trial
from darkroom.faults.history import MarkedFault
from darkroom.log.catalogue.plate_faults import MOST_DIFFERENCES, PlateWhy
from darkroom.log.plate.comparison import Difference
from darkroom.screens.log_plate.why_rows import advised_tests, why_rows
from darkroom.screens.widgets.rows import width
from tests.kit.plates import texts

DO = "Dip blue litmus in a sample: shown if it stays blue"
SOUR = Cause(
    id="no acid",
    label="bath without acid",
    usual=0.05,
    remedy="Add a drop of acid.",
    source="invented for the tests",
    alters="bath",
    test=Trial(do=DO, shown=8, absent=-8),
)
CATALOGUE = Catalogue(
    faults={
        "fog": Fault(
            id="fog", label="fog", looks="grey", unexplained=0.01, causes={"no acid": 0.5}, source="invented"
        )
    },
    causes={"no acid": SOUR},
)


def answer(kind: str = "test", differences: int = 0) -> PlateWhy:
    """Return an answer with this kind of advice and so many differences."""
    do = DO if kind == "test" else "Note the temperature."
    why = Why(
        plate="p",
        number=31,
        faults=(MarkedFault(name="fog"),),
        causes=(Likely(cause="no acid", label=SOUR.label, chance=0.6),),
        none=0.1,
        advice=Advice(kind=kind, do=do, cause="no acid" if kind == "test" else None),  # type: ignore[arg-type]
    )
    found = tuple(
        Difference(what=f"what differs {place} in many words", first=1.5, second=None, unit="°C", weight=1.0)
        for place in range(differences)
    )
    return PlateWhy(why=why, good="g", good_title="Plate 29", differences=found)


def test_while_it_is_looked_for_that_is_said() -> None:
    """The part is there from the first frame on, with one quiet word."""
    assert texts(list(why_rows(None, CATALOGUE, 80))) == ["", "WHY IT FAILED", "looking …"]


def test_a_trouble_is_told_in_its_words() -> None:
    """A log that cannot be looked at is said where the answer would stand."""
    rows = texts(list(why_rows(PlateWhy(trouble="the log cannot be looked at: no disk"), CATALOGUE, 80)))
    assert rows[-1] == "the log cannot be looked at: no disk"


def test_only_a_test_that_is_advised_is_asked_about() -> None:
    """What it says to do is the key of its answer; any other advice asks nothing."""
    assert advised_tests(answer(), CATALOGUE) == (DO,)
    assert advised_tests(answer("note"), CATALOGUE) == ()
    assert advised_tests(PlateWhy(trouble="?"), CATALOGUE) == advised_tests(None, CATALOGUE) == ()
    assert advised_tests(answer(), Catalogue()) == (), "the catalogue has changed meanwhile"


@pytest.mark.parametrize("columns", [20, 40, 60, 80, 120])
@pytest.mark.parametrize("differences", [0, 3, 20])
def test_no_row_is_wider_than_the_page(columns: int, differences: int) -> None:
    """Whatever the width; of many differences the biggest are shown, and how many more there are."""
    rows = texts(list(why_rows(answer(differences=differences), CATALOGUE, columns)))
    assert all(width(row) <= columns for row in rows)
    text = " ".join(" ".join(rows).split())
    if not differences:
        assert "plate 29, the nearest good one" in text
    elif differences > MOST_DIFFERENCES:
        assert f"and {differences - MOST_DIFFERENCES} more" in text
