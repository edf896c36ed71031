"""The filter above the list, parsed into a query: each name is one condition, and any text is accepted."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.log.catalogue.filter import parse
from darkroom.log.catalogue.filter_names import FILTERS
from darkroom.log.catalogue.query import Query


@pytest.mark.parametrize(
    ("text", "conditions"),
    [
        ("ferns  mill", {"words": "ferns mill"}),
        ('"the old weir"', {"words": "the old weir"}),
        ("process:tin fault:fog", {"process": "tin", "fault": "fog"}),
        ('process:"clear glass"', {"process": "clear glass"}),
        ("stars:4", {"stars": (4, 4)}),
        ("stars:3..", {"stars": (3, 5)}),
        ("on:2024-02", {"since": "2024-02-01", "until": "2024-02-29"}),
        ("on:2026-03-01", {"since": "2026-03-01", "until": "2026-03-01"}),
        ("since:2026 until:2026-06", {"since": "2026-01-01", "until": "2026-06-30"}),
        ("bath:18..20", {"temperature": {"bath": (18.0, 20.0)}}),
        ("bath:18", {"temperature": {"bath": (17.5, 18.5)}}),
        ("room:..12", {"temperature": {"room": (-300.0, 12.0)}}),
        ("BATH:18..", {"temperature": {"bath": (18.0, 1000.0)}}),
        ("state:ra", {"state": "rack"}),
    ],
)
def test_each_name_asks_one_thing(text: str, conditions: dict[str, object]) -> None:
    """Words and named conditions become the query, without remarks."""
    parsed = parse(text)
    assert parsed.remarks == ()
    assert parsed.query == Query(**conditions)  # type: ignore[arg-type]


def test_fahrenheit_is_read_as_celsius() -> None:
    """64 to 68 °F is 17.8 to 20 °C (the definition of the degree Fahrenheit, BIPM SI brochure)."""
    least, most = parse("bath:64F..68F").query.temperature["bath"]
    assert (round(least, 3), most) == (17.778, 20.0)


@pytest.mark.parametrize(
    ("text", "remark"),
    [
        ("proces:tin", "did you mean 'process'"),
        ("stars:9", "neither 0 to 5"),
        ("on:2026-13", "no month"),
        ("since:yesterday", "no date"),
        ("bath:20..18", "from warm to cold"),
        ("bath:warm", "bath: 'warm' cannot be read"),
        ("state:lost", "none of"),
    ],
)
def test_a_word_that_makes_no_sense_is_left_out_and_told_of(text: str, remark: str) -> None:
    """A word without sense gives a remark that names it; the other words still count."""
    parsed = parse(f"ferns {text}")
    assert parsed.query == Query(words="ferns")
    assert remark in parsed.remarks[0]


@given(
    st.text(max_size=60)
    | st.lists(st.sampled_from([*FILTERS, ":", "..", '"', " ", "2026", "18", "-"])).map("".join)
)
def test_nothing_typed_breaks_it(text: str) -> None:
    """Any text gives a query with valid SQL and a value for each placeholder."""
    where, values = parse(text).query.where()
    assert where.count("?") == len(values)
