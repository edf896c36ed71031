"""Records with numbers that cannot be: a journal is a file, and others may have written it."""

from __future__ import annotations

import msgspec
from hypothesis import given
from hypothesis import strategies as st

from darkroom.faults.began import began
from darkroom.faults.evidence import figures_of
from darkroom.faults.evidence_names import BY_NAME
from darkroom.faults.history import BottleThen, MarkedFault, PlateFigures, StageFigures
from darkroom.faults.nearest_good import nearest_good
from darkroom.faults.tallies import tallies
from darkroom.faults.usual import usual_plates

FOG = "general fog"
NUMBERS = st.none() | st.floats() | st.sampled_from((0.0, -1.0, 1e-300, 1e300))
KNOWN = st.floats() | st.sampled_from((0.0, -1.0, 1e-300, 1e300))
STAGES = st.builds(
    StageFigures,
    seconds=KNOWN,
    planned=NUMBERS,
    celsius=NUMBERS,
    cleared=NUMBERS,
    usual=st.none() | st.tuples(KNOWN, KNOWN),
)
BOTTLES = st.builds(
    BottleThen,
    name=st.sampled_from(("", "D-1", "developer")),
    id=st.none() | st.sampled_from(("d1", "d2")),
    age_days=NUMBERS,
    plates=st.none() | st.integers(),
    since=st.dictionaries(st.sampled_from(("filtered", "sunned")), st.integers()),
    changed=st.dictionaries(st.sampled_from(("filtered", "acid")), KNOWN),
    iodised=st.none() | st.booleans(),
    percent=NUMBERS,
    fresh_clearing=NUMBERS,
)
PLATES = st.builds(
    PlateFigures,
    plate=st.just(""),
    number=st.integers(-5, 500),
    process=st.sampled_from(("clear glass", "black glass")),
    instant=KNOWN,
    day=st.just("2026-05-14"),
    judged=st.booleans(),
    faults=st.sampled_from(((), (MarkedFault(name=FOG),), (MarkedFault(name=FOG), MarkedFault(name="x")))),
    stars=st.none() | st.integers(0, 5),
    stops=NUMBERS,
    proposed=NUMBERS,
    exposed=NUMBERS,
    first_seen=NUMBERS,
    wet_used=NUMBERS,
    wet_about=NUMBERS,
    humidity=NUMBERS,
    temperatures=st.dictionaries(st.sampled_from(("room", "bath", "developer")), KNOWN),
    stages=st.dictionaries(st.sampled_from(("coat", "bath", "drain", "develop", "fix", "wash")), STAGES),
    bottles=st.dictionaries(st.sampled_from(("bath", "developer", "fixer")), BOTTLES),
    holder=st.none() | st.sampled_from(("", "a")),
    camera=st.none() | st.sampled_from(("", "a")),
)


@given(st.lists(PLATES, min_size=1, max_size=12), st.data())
def test_no_number_of_a_record_makes_an_error(drawn: list[PlateFigures], data: st.DataObject) -> None:
    """Whatever stands in the record, the figures lie in their bounds and every question has an answer."""
    history = [msgspec.structs.replace(plate, plate=f"p{number}") for number, plate in enumerate(drawn)]
    plate = data.draw(st.sampled_from(history))
    for name, value in figures_of(plate, history, (FOG,)).items():
        assert BY_NAME[name].low <= value <= BY_NAME[name].high
    assert 0 <= usual_plates(plate, history) <= 20
    assert (began(plate, history, FOG) is None) == (not plate.has(FOG))
    tallies(plate, history, (FOG, "x"))
    assert nearest_good(plate, history, (FOG,)) != plate.plate
