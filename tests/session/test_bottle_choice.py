"""The bottles that the form of a plate names, and what its plate takes of them."""

from __future__ import annotations

from typing import Any

from darkroom.bench.bottles_at_hand import BottleAtHand
from darkroom.resources import load_process
from darkroom.session.bottle_choice import (
    choose,
    field_of,
    keep_at_hand,
    keep_chosen,
    name_bottles,
    not_chosen,
    not_counted,
    role_of,
    settle,
)
from darkroom.session.plate_form import PlateForm, chosen_bottles, plate_from

TINTYPE, CYANIDE = load_process("tintype"), load_process("tintype-cyanide")
AT = "2026-11-02T12:00:00.000+00:00"


def a_bottle(bottle_id: str, name: str, what: str, **more: Any) -> BottleAtHand:
    """Return a bottle at hand."""
    return BottleAtHand(id=bottle_id, name=name, what=what, made="2026-05-02", **more)


BATH, COLLODION = a_bottle("b1", "B-1", "bath"), a_bottle("c4", "C-4", "collodion")
VARNISH = a_bottle("v1", "V-1", "varnish")


def test_a_plate_takes_names_and_ids() -> None:
    """What was chosen stands in the plate's first line twice; the varnish waits for the rack."""
    form = PlateForm(process="tintype")
    for role, bottle in (("bath", BATH), ("collodion", COLLODION), ("varnish", VARNISH)):
        choose(form, role, bottle)
    start = plate_from(form, TINTYPE, number=1, bench="b", boot="c", at=AT, up=1.0)
    assert start.bottles == {"bath": "B-1", "collodion": "C-4"}
    assert start.bottle_ids == {"bath": "b1", "collodion": "c4"}


def test_a_plate_without_a_choice_has_neither() -> None:
    """Nothing chosen, nothing said: both members are absent, and a typed collodion is a name alone."""
    start = plate_from(PlateForm(), TINTYPE, number=1, bench="b", boot="c", at=AT, up=1.0)
    assert start.bottles is None and start.bottle_ids is None
    typed = PlateForm(collodion="C-9 2026-05-02")
    assert chosen_bottles(typed, TINTYPE) == ({"collodion": "C-9 2026-05-02"}, {})


def test_a_collodion_that_was_typed_over_the_chosen_one_has_no_id() -> None:
    """The words in the field count: other words are no bottle of the book, the bottle's own name is it."""
    form = PlateForm()
    choose(form, "collodion", COLLODION)
    form.collodion = "the old one"
    assert chosen_bottles(form, TINTYPE) == ({"collodion": "the old one"}, {})
    other = PlateForm()
    name_bottles(other, {"collodion": "the old one", "bath": "B-1"}, [BATH, COLLODION], form, TINTYPE)
    assert other.bottle_ids == {"bath": "b1"}
    name_bottles(other, {"collodion": "C-4"}, [BATH, COLLODION], PlateForm(), TINTYPE)
    assert other.bottle_ids == {"collodion": "c4"}


def test_a_name_means_what_it_meant_while_the_book_is_not_read() -> None:
    """Before the book is read the choice of yesterday stands; roles without a row keep theirs."""
    yesterday = PlateForm(
        bottles={"bath": "B-1", "varnish": "V-1"}, bottle_ids={"bath": "b1", "varnish": "v1"}
    )
    form = PlateForm()
    name_bottles(form, {"bath": "B-1"}, [], yesterday, TINTYPE)
    assert form.bottle_ids == {"bath": "b1", "varnish": "v1"}
    name_bottles(form, {"bath": ""}, [], yesterday, TINTYPE)
    assert form.bottle_ids == {"varnish": "v1"} and form.bottles == {"varnish": "V-1"}


def test_a_bottle_that_is_gone_is_dropped_and_a_new_name_taken() -> None:
    """Discarded since, it leaves the form; called otherwise, it stays under its new name."""
    form = PlateForm()
    choose(form, "bath", BATH)
    choose(form, "collodion", COLLODION)
    assert keep_at_hand(form, [BATH, COLLODION]) == []
    renamed = a_bottle("c4", "C-4 2026-05-02", "collodion")
    assert keep_at_hand(form, [renamed]) == ["bath", "collodion"]
    assert form.bottle_ids == {"collodion": "c4"} and form.collodion == "C-4 2026-05-02"
    assert keep_at_hand(form, []) == ["collodion"]
    assert (form.bottles, form.bottle_ids, form.collodion) == ({}, {}, "")


def test_a_plate_of_the_command_line_takes_the_days_bottles() -> None:
    """`darkroom bench tintype` names none: those that were chosen last stand."""
    last = PlateForm()
    choose(last, "collodion", COLLODION)
    choose(last, "bath", BATH)
    form = PlateForm(process="tintype")
    keep_chosen(form, last)
    assert chosen_bottles(form, TINTYPE)[1] == {"collodion": "c4", "bath": "b1"}


def test_fields_and_roles_are_one_to_one() -> None:
    """The collodion has the field that was there before there was a book."""
    for role in ("collodion", "bath", "fixer_2"):
        assert role_of(field_of(role)) == role
    assert field_of("collodion") == "collodion" and role_of("subject") is None


HYPO_1 = a_bottle("f1", "F-1", "fixer", fixing="hypo")
CYANIDE_1 = a_bottle("k1", "K-1", "fixer", fixing="cyanide")


def test_a_cyanide_bottle_is_not_taken_for_hypo_nor_hypo_for_cyanide() -> None:
    """Chosen for another process, it is dropped; the only one that fits is taken in its place."""
    form = PlateForm()
    choose(form, "fixer", CYANIDE_1)
    settle(form, [HYPO_1, CYANIDE_1], TINTYPE)
    assert form.bottle_ids == {"fixer": "f1"}
    settle(form, [HYPO_1, CYANIDE_1], CYANIDE)
    assert form.bottle_ids == {"fixer": "k1"}
    settle(form, [CYANIDE_1], TINTYPE)
    assert form.bottle_ids == {}
    named = PlateForm()
    name_bottles(named, {"fixer": "K-1"}, [HYPO_1, CYANIDE_1], PlateForm(), TINTYPE)
    assert named.bottle_ids == {}


def test_the_only_bottle_in_use_is_taken_until_the_hand_chose_none() -> None:
    """Of several none is, one that ripens is not, and a typed collodion stays."""
    form = PlateForm(collodion="the old one")
    ripening = a_bottle("b2", "B-2", "bath", ripening=True)
    settle(form, [BATH, ripening, COLLODION, VARNISH, HYPO_1, a_bottle("f2", "F-2", "fixer")], TINTYPE)
    assert form.bottle_ids == {"bath": "b1"} and form.collodion == "the old one"
    none = PlateForm(no_bottles=["bath"])
    settle(none, [BATH], TINTYPE)
    assert none.bottle_ids == {}
    choose(none, "bath", BATH)
    assert none.no_bottles == []


def test_what_is_not_counted_is_said() -> None:
    """The roles that have a bottle at hand and none chosen; a typed collodion is chosen."""
    bottles = [BATH, COLLODION, VARNISH, CYANIDE_1]
    assert not_chosen({"collodion": "the old one"}, bottles, TINTYPE) == ("bath",)
    assert not_counted(["fixer"]) == "no fixer bottle is chosen: it is not counted"
    assert not_counted(["bath", "fixer"]).endswith("or fixer bottle is chosen: they are not counted")
    assert not_counted([]) == ""
