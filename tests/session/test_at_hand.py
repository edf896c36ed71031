"""Which bottles are at hand, and what each is called there."""

from __future__ import annotations

from darkroom.session.at_hand import at_hand
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import DAY, Bottle, fold
from tests.kit.bottles import entry, made

MAY, NOW = 1777700000.0, 1780000000.0
"""2 May and 28 May 2026, in seconds since the epoch."""


def a_bottle(bottle_id: str, name: str, *kinds: type, instant: float = MAY, **members: object) -> Bottle:
    """Return a bottle that was made at an instant, with lines of these kinds after it."""
    first = made(bottle=bottle_id, name=name, instant=instant, **members)
    after = [entry(kind, n=n, instant=instant + n) for n, kind in enumerate(kinds, 2)]
    bottle = fold(bottle_id, [first, *after])
    assert bottle is not None
    return bottle


def test_bottles_in_use_and_ripening_are_at_hand() -> None:
    """Set aside and discarded ones are not; one taken up again is."""
    bottles = [
        a_bottle("a", "B-1"),
        a_bottle("b", "B-2", ev.SetAside),
        a_bottle("c", "B-3", ev.SetAside, ev.TakenUp),
        a_bottle("d", "B-4", ev.Discarded),
        a_bottle("e", "C-1", what="collodion", ripens=60.0),
    ]
    found = {bottle.id: bottle for bottle in at_hand(bottles, {}, NOW)}
    assert set(found) == {"a", "c", "e"}
    assert found["e"].ripening and not found["a"].ripening and found["a"].made == "2026-05-02"


def test_bottles_of_one_name_are_told_apart() -> None:
    """By the day on which they were made, of one day by their ids; another role's name is no clash."""
    bottles = [
        a_bottle("a", "One"),
        a_bottle("b", "one", instant=MAY + 2 * DAY),
        a_bottle("c", "ONE", instant=MAY + 2 * DAY),
        a_bottle("d", "One", what="fixer"),
    ]
    names = {bottle.id: bottle.name for bottle in at_hand(bottles, {}, NOW)}
    assert names == {
        "a": "One 2026-05-02", "b": "one 2026-05-04 b", "c": "ONE 2026-05-04 c", "d": "One",
    }  # fmt: skip


def test_names_are_one_plain_line() -> None:
    """Control characters and signs that turn the writing are left out; a long name is cut, none is empty."""
    names = {
        bottle.id: bottle.name
        for bottle in at_hand(
            [a_bottle("a", "B\n1\u202e"), a_bottle("b", "x" * 90), a_bottle("c", " ")], {}, NOW
        )
    }
    assert names == {"a": "B 1", "b": "x" * 40, "c": "c"}
