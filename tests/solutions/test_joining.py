"""Which bottle a plate used: by id, by a name that means one bottle, or not known."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from darkroom.solutions import events as ev
from darkroom.solutions.bottle import Bottle, fold
from darkroom.solutions.joining import Joined, join
from darkroom.solutions.plate_use import PlateUse
from darkroom.solutions.uses import tally
from tests.kit.bottles import entry, made


def bottle(bottle_id: str, name: str, *lines: ev.BottleEntry, at: float = 0.0, what: str = "bath") -> Bottle:
    """Return a bottle made at an instant."""
    found = fold(bottle_id, [made(bottle=bottle_id, name=name, what=what, instant=at), *lines])
    assert found is not None
    return found


def use(plate: str = "p1", instant: float = 50.0, **members: object) -> PlateUse:
    """Return a plate in a bath B-1 unless `members` say otherwise."""
    usual = {"number": 1, "role": "bath", "stage": "sensitise", "name": "B-1", "area": 432.0}
    return PlateUse(plate=plate, instant=instant, **{**usual, **members})  # type: ignore[arg-type]


def by_bottle(joined: Joined) -> dict[str, list[str]]:
    """Return {bottle: plates}."""
    return {bottle: [one.plate for one in uses] for bottle, uses in joined.uses.items()}


def test_an_id_is_that_bottle_whatever_its_name() -> None:
    """A bottle may be renamed or share its name: the id decides, and an id of no bottle is not known."""
    bottles = [bottle("b1", "B-1"), bottle("b2", "B-1")]
    joined = join([use(bottle="b2"), use("p2", bottle="b9")], bottles)
    assert by_bottle(joined) == {"b1": [], "b2": ["p1"]}
    assert [(one.plate, one.why) for one in joined.not_known] == [("p2", "the book has no bottle b9")]


def test_a_name_joins_the_only_bottle_of_it_that_was_alive() -> None:
    """The second B-1 was made when the first was discarded: each has the plates of its own time."""
    first = bottle("b1", "B-1", entry(ev.Discarded, n=2, instant=100.0))
    second = bottle("b2", "b-1 ", at=200.0)
    joined = join([use("p1", 50.0), use("p2", 150.0), use("p3", 250.0)], [first, second])
    assert by_bottle(joined) == {"b1": ["p1"], "b2": ["p3"]}
    assert [(one.plate, one.why) for one in joined.not_known] == [
        ("p2", "no bottle of this name was alive then")
    ]


def test_where_two_were_alive_nobody_knows_which() -> None:
    """Neither bottle counts the plate, and the plate is named."""
    joined = join([use()], [bottle("b1", "B-1"), bottle("b2", "B-1")])
    assert by_bottle(joined) == {"b1": [], "b2": []}
    (one,) = joined.not_known
    assert (one.plate, one.name, one.why) == ("p1", "B-1", "2 bottles of this name were alive then")


def test_what_is_in_a_bottle_has_to_fit() -> None:
    """A developer called B-1 is not the bath; a fixer serves as the second fixer too."""
    joined = join(
        [use(), use("p2", role="fixer_2", name="F"), use("p3", role="fixer", name="F")],
        [bottle("b1", "B-1", what="developer"), bottle("f1", "F", what="fixer")],
    )
    assert by_bottle(joined) == {"b1": [], "f1": ["p2", "p3"]}
    assert joined.not_known[0].why == "the book has no bottle of this name"


def test_a_bottle_that_was_set_aside_or_taken_up_again_is_alive() -> None:
    """Only a discarded one is not, until it is taken up after all."""
    lines = [
        entry(ev.SetAside, n=2, instant=10.0),
        entry(ev.Discarded, n=3, instant=100.0),
        entry(ev.TakenUp, n=4, instant=200.0),
    ]
    uses = [use("p1", 50.0), use("p2", 150.0), use("p3", 250.0)]
    assert by_bottle(join(uses, [bottle("b1", "B-1", *lines)])) == {"b1": ["p1", "p3"]}


def test_the_photographers_own_sizes_win() -> None:
    """A size by a name of the kit has the kit's area; what neither knows stays unknown."""
    uses = [
        use("p1", size="Half  Plate", area=None),
        use("p2", size="odd", area=None),
        use("p3", size="8x10"),
    ]
    joined = join(uses, [bottle("b1", "B-1")], {"half plate": 199.2})
    assert [one.area for one in joined.uses["b1"]] == [199.2, None, 432.0]


NAMES = ("B-1", "B-2", "b-1")
BOTTLES = st.lists(
    st.builds(
        lambda number, name, at, ends: bottle(
            f"b{number}",
            name,
            *([] if ends is None else [entry(ev.Discarded, n=2, instant=at + ends)]),
            at=at,
        ),
        st.integers(0, 5),
        st.sampled_from(NAMES),
        st.floats(0, 100),
        st.none() | st.floats(0, 100),
    ),
    max_size=6,
    unique_by=lambda found: found.id,
)
USES = st.lists(
    st.builds(
        use,
        st.sampled_from([f"p{number}" for number in range(8)]),
        st.floats(-10, 250),
        name=st.sampled_from(NAMES),
        bottle=st.none() | st.sampled_from([f"b{number}" for number in range(8)]),
        stage=st.sampled_from(("sensitise", "again")),
    ),
    max_size=20,
)


@given(USES, BOTTLES)
def test_every_use_is_counted_once_or_said_to_be_unknown(uses: list[PlateUse], bottles: list[Bottle]) -> None:
    """No plate is lost, none is in two bottles, and the order of reading changes nothing."""
    joined = join(uses, bottles)
    counted = [one for found in joined.uses.values() for one in found]
    assert len(counted) + len(joined.not_known) == len(uses)
    assert set(joined.uses) == {one.id for one in bottles}
    again = join(list(reversed(uses)), list(reversed(bottles)))
    assert {name: sorted(found, key=repr) for name, found in again.uses.items()} == {
        name: sorted(found, key=repr) for name, found in joined.uses.items()
    }
    for found in joined.uses.values():
        assert [one.instant for one in found] == sorted(one.instant for one in found)
        assert tally(found).plates == len({one.plate for one in found})


@given(USES, BOTTLES, st.floats(0, 300))
def test_another_bottle_of_another_name_changes_no_count(
    uses: list[PlateUse], bottles: list[Bottle], at: float
) -> None:
    """What one bottle had does not depend on what else stands beside it under another name."""
    before = join(uses, bottles)
    after = join(uses, [*bottles, bottle("z", "B-9", at=at)])
    assert {name: found for name, found in after.uses.items() if name != "z"} == before.uses
