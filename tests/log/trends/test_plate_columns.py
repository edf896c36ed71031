"""Plates and points in columns are those that were put in."""

from __future__ import annotations

from math import nan

import msgspec
from hypothesis import given
from hypothesis import strategies as st

from darkroom.log.trends.alike_plates import Alike, Column
from darkroom.log.trends.facts import PlateFacts
from darkroom.log.trends.plate_columns import ByPlace, PlateColumns, Words, members
from darkroom.log.trends.points import Points

NUMBER = st.none() | st.floats(-1e300, 1e300)
WORD = st.none() | st.text(max_size=3)
PLATES = st.lists(
    st.builds(
        PlateFacts,
        path=st.just("-"),
        plate=st.sampled_from("abc"),
        process=WORD,
        stars=st.none() | st.integers(1, 5),
        exposed=NUMBER,
        moment=NUMBER,
        number=st.none() | st.integers(-(2**62), 2**62),
        nothing_else=WORD,
    ),
    max_size=8,
)


@given(PLATES)
def test_plates_come_back_in_the_order_of_their_ids(plates: list[PlateFacts]) -> None:
    """Every member is as it was, None too; plates of one id stay in the order in which they came."""
    columns = PlateColumns()
    for plate in plates:
        columns.append(msgspec.structs.astuple(plate)[1:])
    columns.by_id()
    placed = [msgspec.structs.replace(plate, path=place) for place, plate in enumerate(plates)]
    expected = sorted(placed, key=lambda plate: plate.plate)
    assert list(columns) == expected == [columns[n] for n in range(len(columns))]
    wanted = ("path", "plate", "moment", "stars")
    assert list(members(columns, *wanted)) == list(members(expected, *wanted))


def test_a_number_that_no_table_can_keep_is_none() -> None:
    """The catalogue has it as text; among the plates of the trends it has no number."""
    columns = PlateColumns()
    fields = msgspec.structs.astuple(PlateFacts("-", "a"))[1:]
    at = PlateFacts.__struct_fields__.index("number") - 1
    columns.append((*fields[:at], "99999999999999999999", *fields[at + 1 :]))
    columns.by_id()
    assert columns[0].number is None


@given(
    st.lists(
        st.tuples(st.integers(0, 2), st.floats(-20, 60), st.floats(0.1, 1e7), st.none() | st.floats(0.1, 1e7))
    )
)
def test_points_come_back(told: list[tuple[int, float, float, float | None]]) -> None:
    """A point has its numbers, None where the process says no time, and the id of its plate.

    They stand in the order of the plates, whichever of these are alike.
    """
    names = [f"plate {n}" for n in range(len(told))]
    step = ("develop", False, "developer", True)
    kinds = [Alike("Trial", stars, [("wash", False, None, False), step]) for stars in range(3)]
    points = [point for _, *point in told]
    for place, (kind, celsius, seconds, law) in enumerate(told):
        kinds[kind].places.append(place)
        kinds[kind].numbers.extend([30.0, seconds, celsius, nan if law is None else law])
    columns = Points(names, [Column(kind, 1, True, False) for kind in kinds if kind.places])
    expected = [(*point, name) for point, name in zip(points, names, strict=True)]
    assert list(columns) == expected == [columns[n] for n in range(len(columns))]
    assert columns == expected
    assert sorted(columns.celsius) == sorted(celsius for celsius, _, _ in points)
    in_columns = zip(columns.celsius, columns.seconds, columns.laws, strict=True)
    assert sorted(map(repr, in_columns)) == sorted(map(repr, columns.numbers()))


@given(st.dictionaries(st.integers(0, 20), st.floats(-20, 60)))
def test_numbers_of_some_plates_are_found_by_their_places(numbers: dict[int, float]) -> None:
    """A plate without a number has none."""
    found = ByPlace()
    for place in sorted(numbers):
        found.put(place, numbers[place])
    assert dict(found) == numbers
    assert all((place in found) is (place in numbers) for place in range(25))


def test_words_come_back_however_many_there_are() -> None:
    """The places of 255, of 257 and of 65,537 different values are kept in as many bytes as they ask for."""
    words = Words()
    for first, last in ((0, 255), (255, 257), (0, 65_537), (3, 9)):
        words.extend([f"word {n}" for n in range(first, last)])
    expected = [f"word {n}" for n in (*range(257), *range(65_537), *range(3, 9))]
    assert list(words) == expected
    assert [words[256], words[-1]] == ["word 256", "word 8"]
