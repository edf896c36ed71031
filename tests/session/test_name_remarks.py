"""Names of the form that are nearly known ones are told, and a place that is none; every name is taken."""

from __future__ import annotations

import pytest

from darkroom.exposure.judged import Conditions
from darkroom.exposure.kit import Camera, Kit, Lens, NamedLight, Place, Stop
from darkroom.session.name_remarks import name_remarks
from darkroom.session.plate_form import PlateForm

KIT = Kit(
    lenses=(Lens(name="brass 210", focal=210.0, stops=(Stop(name="wide open", f_number=4.0),)),),
    lights=(NamedLight(name="north window", kind="window"),),
    places=(Place(name="garden", latitude=52.0, longitude=5.0, zone="UTC"),),
    cameras=(Camera(name="field camera"),),
)
PLATES = [
    Conditions(process="Tintype", day="2026-05-01", light="attic", lens="meniscus", batch="C-4 26-05-01"),
    Conditions(process="Tintype", day="2026-05-02"),
]


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("light", "north windw", "no light is called north windw yet: did you mean 'north window'?"),
        ("light", "shaed", "no light is called shaed yet: did you mean 'shade'?"),
        ("light", "atic", "no light is called atic yet: did you mean 'attic'?"),
        ("lens", "brass 21", "no lens is called brass 21 yet: did you mean 'brass 210'?"),
        ("lens", "menisucs", "no lens is called menisucs yet: did you mean 'meniscus'?"),
        ("camera", "feld camera", "no camera is called feld camera yet: did you mean 'field camera'?"),
        ("collodion", "C4 26-05-01", "no collodion is called C4 26-05-01 yet: did you mean 'C-4 26-05-01'?"),
        ("place", "gardn", "no place of kit.yaml is called gardn: did you mean 'garden'?"),
        ("place", "mill", "no place of kit.yaml is called mill"),
    ],
)  # fmt: skip
def test_a_near_name_is_told_at_its_field(field: str, typed: str, said: str) -> None:
    """What the kit or a judged plate nearly has is named; of a place also that it is none."""
    assert name_remarks(PlateForm(**{field: typed}), KIT, PLATES) == {field: said}


def test_a_near_stop_is_one_of_the_lens() -> None:
    """A stop is looked for among those of the lens in the form."""
    said = {"aperture": "no stop of this lens is called wide opn yet: did you mean 'wide open'?"}
    assert name_remarks(PlateForm(lens="brass 210", aperture="wide opn"), KIT) == said
    assert name_remarks(PlateForm(lens="meniscus", aperture="wide opn"), KIT) == {}


def test_known_and_new_names_are_not_remarked_on() -> None:
    """Names in any case, new names and an empty form have no remark, with a kit and without one."""
    known = PlateForm(light="North Window", lens="brass 210", place="GARDEN", camera="field  camera")
    new = PlateForm(light="south window", lens="brass 240", camera="box", collodion="C-5 2026-06-01")
    for form in (known, new, PlateForm()):
        assert name_remarks(form, KIT, PLATES) == {}
    assert name_remarks(new, Kit()) == {}


def test_a_name_that_is_being_typed_is_not_remarked_on() -> None:
    """Under the hand the beginning of a known name is no mistake yet; left so it is."""
    form = PlateForm(place="gard", light="north windo")
    assert name_remarks(form, KIT, under_hand="place").keys() == {"light"}
    assert name_remarks(form, KIT, under_hand="light").keys() == {"place"}
    assert name_remarks(PlateForm(place="garx"), KIT, under_hand="place").keys() == {"place"}
