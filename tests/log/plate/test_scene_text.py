"""The light of a plate and what the camera took of it, in words."""

from __future__ import annotations

import pytest

from darkroom.log.plate import scene_text
from darkroom.process.scene import ProposedExposure, Scene


@pytest.mark.parametrize(
    ("scene", "words", "text"),
    [(None, "open shade", "open shade"), (None, None, None), (Scene(), "a window", "a window"),
     (Scene(), None, None),
     (Scene(light="north window", kind="window", ev=9.5, ev_from="meter"), "x",
      "north window (window), EV 9.5 by the meter"),
     (Scene(light="shade", kind="shade", ev=11.5, ev_from="light"), None,
      "shade, EV 11.5 usual of this light, not measured"),
     (Scene(kind="sun", ev=14.27, ev_from="sun"), None, "sun, EV 14.3 by where the sun stood"),
     (Scene(light="moon", ev=-2.0, ev_from="almanac"), None, "moon, EV -2 from almanac"),
     (Scene(ev=9.0), None, "EV 9")],
)  # fmt: skip
def test_the_light(scene: Scene | None, words: str | None, text: str | None) -> None:
    """A scene's light with its kind and where its EV is from wins over the free words."""
    assert scene_text.light_text(scene, words) == text


@pytest.mark.parametrize(
    ("number", "words", "text"),
    [(5.6, None, "f/5.6"), (5.6, "f/5.6", "f/5.6"), (5.6, "F 5,6", "F 5,6"), (5.6, "third", "third (f/5.6)"),
     (11.2, "f/8", "f/8 (f/11.2)"), (None, "third", "third"), (None, None, None)],
)  # fmt: skip
def test_the_aperture(number: float | None, words: str | None, text: str | None) -> None:
    """The name of a stop stands with its f-number; a number is not said twice."""
    assert scene_text.aperture_text(Scene(f_number=number), words) == text
    assert scene_text.aperture_text(None, words) == words


def test_the_light_lost() -> None:
    """All that takes light is added up and named; where nothing does there are no words."""
    assert scene_text.lost_text(Scene(bellows=0.53, filter=0.5)) == "1 stop: bellows 0.53, filter 0.5"
    assert scene_text.lost_text(Scene(bellows=1.17, other=1.0)) == "2.2 stops: bellows 1.2, other 1"
    assert scene_text.lost_text(Scene(bellows=0.0)) is None
    assert scene_text.lost_text(None) is None


def test_the_place() -> None:
    """Place, sun, sky and what faces the light; a word of a newer version is told as it is."""
    scene = Scene(place="Weir", sun_altitude=31.7, sky="hazy", receiver="away")
    assert (
        scene_text.place_text(scene) == "Weir, sun 32° high, hazy sky, lit: upright, turned away from the sun"
    )
    assert scene_text.place_text(Scene(sky="aurora", receiver="up")) == "sky: aurora, lit: up"
    assert scene_text.place_text(Scene()) is None


def test_what_was_proposed() -> None:
    """The time, its interval and how many plates stand behind it; without any that it was assumed."""
    plates = ProposedExposure(seconds=8.0, low=5.0, high=13.0, plates=12, from_="plates")
    assert scene_text.proposed_text(plates) == "8 s, between 5 s and 13 s, from 12 plates"
    one = ProposedExposure(seconds=8.0, low=5.0, high=13.0, plates=1, from_="plates")
    assert (scene_text.proposed_text(one) or "").endswith("from 1 plate")
    nothing = ProposedExposure(seconds=8.0, low=1.0, high=60.0, plates=0, from_="assumed")
    assert scene_text.proposed_text(nothing) == "8 s, between 1 s and 60 s, assumed, no plate was judged"
    assert scene_text.proposed_text(None) is None


@pytest.mark.parametrize(
    ("stops", "text"), [(0.5, "half a stop"), (-0.5, "half a stop"), (1.0, "1 stop"), (0.25, "0.25 stop"),
                        (1.5, "1.5 stops"), (-2.0, "2 stops")]
)  # fmt: skip
def test_stops_in_words(stops: float, text: str) -> None:
    """A number of stops without its sign, one and less of one in the singular."""
    assert scene_text.stops_text(stops) == text
