"""What is usual of each kind of light."""

from __future__ import annotations

import math

import pytest

from darkroom.exposure.light_kinds import LIGHT_KINDS, light_kind
from darkroom.process import scene


def test_the_kinds_are_the_words_of_a_scene() -> None:
    """Every word that a scene knows for a kind of light has its usual values, and no other."""
    assert tuple(LIGHT_KINDS) == scene.LIGHT_KINDS


def test_a_kind_is_found_in_any_case_and_another_name_is_none() -> None:
    """A kind is found as a person writes it; the name of a light of one's own is no kind."""
    assert LIGHT_KINDS["window"] is light_kind(" Window")
    assert light_kind("north window") is None
    assert light_kind(None) is None


@pytest.mark.parametrize(
    ("name", "lights"),
    [
        ("sun", (-0.63, -0.38)),
        ("cloud", (-0.38, 0.26)),
        ("shade", (0.26, 0.65)),
        ("tungsten", (-2.10, -1.62)),
    ],
)
def test_an_offset_agrees_with_standard_lights_beside_it(name: str, lights: tuple[float, float]) -> None:
    """A kind's offset lies, within its own doubt, where the published sensitivity puts such a light."""
    kind = LIGHT_KINDS[name]
    assert min(lights) - kind.doubt <= kind.offset <= max(lights) + kind.doubt
    assert math.isclose(kind.offset, sum(lights) / 2, abs_tol=kind.doubt)
