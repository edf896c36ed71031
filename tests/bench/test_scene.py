"""What a plate says of its light and of what was proposed for it, in its journal and on the bench."""

from __future__ import annotations

import msgspec
import pytest

from darkroom.bench import events as ev
from darkroom.bench.exposure import nudged, strips
from darkroom.bench.fold import apply, begin
from darkroom.process.model import ExposurePlan
from darkroom.process.scene import ProposedExposure, Scene
from tests.kit.bench import start

SCENE = Scene(light="north window", kind="window", ev=9.5, ev_from="meter", f_number=5.6, bellows=0.53)


def test_scene_comes_back_from_its_line() -> None:
    """Scene, proposal, camera, holder and bottles are written as plain members and read again."""
    first_line = start(
        scene=SCENE,
        proposed=ProposedExposure(seconds=8.0, low=5.0, high=13.0, plates=12, from_="plates"),
        camera="field camera",
        holder="3",
        bottle_ids={"collodion": "20261101-101500-abcdef"},
    )
    line = msgspec.json.decode(msgspec.json.encode(first_line))
    window = {"light": "north window", "kind": "window", "ev": 9.5, "ev_from": "meter"}
    assert line["scene"] == {**window, "f_number": 5.6, "bellows": 0.53}
    assert line["proposed"] == {"seconds": 8.0, "low": 5.0, "high": 13.0, "plates": 12, "from": "plates"}
    assert first_line == ev.READER.decode(msgspec.json.encode(first_line))


def test_words_of_a_newer_version_are_read() -> None:
    """A light, a sky or an origin that this version does not know spoils no line."""
    line = msgspec.json.decode(msgspec.json.encode(start(scene=SCENE)))
    line["scene"] |= {"sky": "aurora", "ev_from": "moon", "moon_altitude": 3}
    read = ev.READER.decode(msgspec.json.encode(line))
    assert isinstance(read, ev.PlateStarted)
    assert read.scene is not None
    assert (read.scene.sky, read.scene.ev_from) == ("aurora", "moon")


def test_exposure_set_changes_the_scene() -> None:
    """A scene that comes with a changed plan replaces the one before; a change without one keeps it."""
    state = begin(start(scene=SCENE), 0.0)
    wider = msgspec.structs.replace(SCENE, f_number=4.0)
    plan = ExposurePlan(seconds=4.0)
    at = "2026-06-01T12:00:00.000+00:00"
    changed = apply(state, ev.ExposureSet(n=2, at=at, up=1.0, plan=plan, scene=wider))
    kept = apply(changed, ev.ExposureSet(n=3, at=at, up=2.0, plan=plan))
    assert (SCENE, wider, wider) == (state.scene, changed.scene, kept.scene)


def test_lost_light_adds_up() -> None:
    """Bellows, filter and other causes lose light together, in stops; what is not known loses none."""
    assert (Scene().lost, Scene(bellows=0.5, filter=1.0, other=0.25).lost) == (0.0, 1.75)


def test_a_test_plate_is_nudged_as_one() -> None:
    """A third of a stop up or down changes every strip of a test plate; flashes and no plan have no time."""
    plan = ExposurePlan(steps=(2.0, 2.0, 4.0, 8.0, 16.0), between="run_on")
    longer, shorter = nudged(plan, 1), nudged(plan, -1)
    assert longer is not None and shorter is not None
    assert (strips(longer), longer.between) == ((2.5, 5.0, 10.0, 20.0, 40.0), "run_on")
    assert nudged(longer, -1) == plan and strips(shorter) == pytest.approx((1.6, 3.2, 6.4, 12.7, 24.7))
    assert (nudged(None, 1), nudged(ExposurePlan(pops=4, recycle=20.0), 1)) == (None, None)
