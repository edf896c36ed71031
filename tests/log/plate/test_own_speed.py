"""The speed a judged plate turned out to have, beside what was proposed for it, in figures and in words."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import msgspec
import pytest

from darkroom.bench import events as ev
from darkroom.exposure.judged import LeftOut
from darkroom.log.plate.own_speed import (
    OwnSpeed,
    expected_text,
    own_speed,
    proposed_for,
    speed_as_plain,
    speed_facts,
    speed_text,
    wanted_text,
)
from darkroom.log.plate.record import PlateRecord
from darkroom.process.model import ExposurePlan
from darkroom.process.scene import ProposedExposure, Scene
from tests.kit.judged import SCENE, STRIPS, exposed_plate, record_of

PROPOSED = ProposedExposure(seconds=8.0, low=5.0, high=13.0, plates=12, from_="plates")


def judged(home: Path, judgement: dict[str, Any], **plate: Any) -> PlateRecord:
    """Return the record of a plate with a judgement."""
    return record_of(home, exposed_plate(**plate), judgement)


def speed_of(record: PlateRecord) -> OwnSpeed:
    """Return the own speed of a plate that shows one."""
    found = own_speed(record)
    assert isinstance(found, OwnSpeed), found
    return found


def test_the_speed_of_a_plate_called_right(tmp_path: Path) -> None:
    """At f/5.6 and EV 10 a plate of ISO 0.5 takes 6.125 s: given that and called right, that is its speed."""
    scene = Scene(ev=10.0, ev_from="meter", f_number=5.6)
    plan = ExposurePlan(seconds=6.125)
    speed = speed_of(judged(tmp_path, {"exposure_word": "right"}, plan=plan, open_for=6.125, scene=scene))
    assert speed.log2_speed == pytest.approx((-1.25, -0.75))
    assert speed_text(speed) == "about ISO 0.5 (0.42 to 0.59), as a daylight meter counts"


def test_more_light_wanted_is_a_slower_plate(tmp_path: Path) -> None:
    """One stop more that a plate wanted halves its speed; stops of light lost count as given for nothing."""
    right = speed_of(judged(tmp_path, {"exposure_stops": 0.0}, scene=SCENE)).log2_speed
    more = speed_of(judged(tmp_path, {"exposure_stops": 1.0}, scene=SCENE)).log2_speed
    bare = speed_of(judged(tmp_path, {"exposure_stops": 0.0}, scene=Scene(ev=9.5, f_number=5.6))).log2_speed
    assert right is not None and more is not None and bare is not None
    assert [slow + 1.0 for slow in more] == pytest.approx(right)
    assert [slow + 1.03 for slow in bare] == pytest.approx(right)


def test_an_open_judgement_is_an_open_speed(tmp_path: Path) -> None:
    """A plate that wanted more, nobody knows how much, has a speed of so much at most."""
    speed = speed_of(judged(tmp_path, {"exposure_word": "more"}, scene=SCENE, proposed=PROPOSED))
    assert speed.log2_speed is not None and speed.log2_speed[0] == -math.inf
    assert speed_text(speed) == "ISO 0.93 at most, as a daylight meter counts"
    assert wanted_text(speed) == "9.5 s or more"
    assert expected_text(speed) == "at least 0.2 stop slower than expected"
    less = speed_of(judged(tmp_path, {"exposure_word": "less"}, scene=SCENE, proposed=PROPOSED))
    assert speed_text(less) == "ISO 1.3 at least, as a daylight meter counts"
    assert wanted_text(less) == "6.7 s or less"
    assert expected_text(less) == "at least 0.2 stop faster than expected"


def test_a_light_that_nobody_measured_has_its_usual_ev(tmp_path: Path) -> None:
    """Where the usual brightness of the light was taken the speed says so; without any there is no speed."""
    usual = judged(tmp_path, {"exposure_stops": 0}, scene=Scene(kind="window", ev_from="light", f_number=5.6))
    assert (speed_text(speed_of(usual)) or "").endswith("by the usual EV of this light")
    sun = judged(tmp_path, {"exposure_stops": 0}, scene=Scene(ev=14.0, ev_from="sun", f_number=8.0))
    assert (speed_text(speed_of(sun)) or "").endswith("by where the sun stood")
    named = judged(tmp_path, {"exposure_stops": 0}, light="north window", aperture="f/5.6")
    assert speed_of(named).log2_speed is None
    assert speed_text(speed_of(named)) is None


@pytest.mark.parametrize(
    ("stops", "says"),
    [(0.0, "as expected, within the interval"),
     (0.5, "half a stop slower than expected, within the interval"),
     (-1.5, "1.5 stops faster than expected, outside the interval"),
     (1.0, "1 stop slower than expected, outside the interval")],
)  # fmt: skip
def test_a_plate_beside_its_proposal(tmp_path: Path, stops: float, says: str) -> None:
    """What the plate wanted stands beside what was proposed, and whether that lay within the interval."""
    assert expected_text(speed_of(judged(tmp_path, {"exposure_stops": stops}, proposed=PROPOSED))) == says


def test_a_plate_beside_what_was_only_assumed(tmp_path: Path) -> None:
    """Where no plate stood behind the proposal it is called assumed, not expected."""
    nothing = ProposedExposure(seconds=8.0, low=1.5, high=43.0, plates=0, from_="assumed")
    record = judged(tmp_path, {"exposure_stops": 0.5}, proposed=nothing)
    assert expected_text(speed_of(record)) == "half a stop slower than assumed, within the interval"
    as_it_was = judged(tmp_path, {"exposure_stops": 0}, proposed=nothing)
    assert expected_text(speed_of(as_it_was)) == "as assumed, within the interval"


def test_what_was_given_and_what_was_proposed_may_differ(tmp_path: Path) -> None:
    """A plate given twice the proposal and called right was a stop slower; the best strip counts as given."""
    twice = judged(
        tmp_path,
        {"exposure_word": "right"},
        plan=ExposurePlan(seconds=16.0),
        open_for=16.0,
        proposed=PROPOSED,
    )
    assert speed_of(twice).faster == pytest.approx((-1.25, -0.75))
    strips = judged(tmp_path, {"best_strip": 3}, plan=STRIPS, open_for=32.0, proposed=PROPOSED)
    assert speed_of(strips).faster == pytest.approx((-0.5, 0.5))


def test_a_stop_changed_at_the_bench_changes_the_proposal_with_it(tmp_path: Path) -> None:
    """A plate stopped down by two stops after the proposal is held against four times its seconds."""
    unchanged = record_of(tmp_path, exposed_plate(scene=SCENE, proposed=PROPOSED), {"exposure_stops": 0})
    assert proposed_for(unchanged) == PROPOSED
    smaller = Scene(light="north window", kind="window", ev=9.5, ev_from="meter", f_number=11.2, bellows=1.03)
    record = record_of(tmp_path, stopped_down(smaller), {"exposure_stops": 0})
    found = proposed_for(record)
    assert found is not None
    assert (found.low, found.seconds, found.high) == pytest.approx((20.0, 32.0, 52.0))


def stopped_down(scene: Scene) -> Any:
    """Return a plate whose scene was changed after it had been put on the bench."""
    hand = exposed_plate(scene=SCENE, proposed=PROPOSED)
    lines = hand.lines["p1"]
    place = next(k for k, line in enumerate(lines) if isinstance(line, ev.LeadInStarted))
    earlier = lines[:place]
    at = earlier[-1]
    set_line = ev.ExposureSet(
        n=at.n + 1, at=at.at, up=at.up, plan=ExposurePlan(seconds=8.0), aperture="f/11", scene=scene
    )
    later = [msgspec.structs.replace(line, n=line.n + 1) for line in lines[place:]]
    hand.lines["p1"] = [*earlier, set_line, *later]
    return hand


def test_a_change_that_cannot_be_reckoned_is_not_compared(tmp_path: Path) -> None:
    """Another light without a reading, or a stop without a number, leaves nothing to compare with."""
    unknown = Scene(light="south window", kind="window", f_number=5.6)
    assert proposed_for(record_of(tmp_path, stopped_down(unknown), {"exposure_stops": 0})) is None


def test_facts_of_a_plate(tmp_path: Path) -> None:
    """What is told: what it wanted against what was expected, and its speed as an equivalent."""
    assert speed_facts(judged(tmp_path, {"exposure_stops": 0.5}, scene=SCENE, proposed=PROPOSED)) == [
        ("wanted", "about 11 s (9.5 s to 13 s): half a stop slower than expected, within the interval"),
        ("its speed", "about ISO 0.78 (0.66 to 0.93), as a daylight meter counts"),
    ]
    assert speed_facts(judged(tmp_path, {"stars": 3})) == []
    past_wet = judged(tmp_path, {"exposure_stops": 0.5}, waited=900.0)
    assert own_speed(past_wet) == LeftOut(plate=past_wet.log.plate, number=31, reason="past wet")
    assert speed_facts(past_wet) == [("its speed", "not learned from: past wet")]


def test_plain_values(tmp_path: Path) -> None:
    """Programs get the same as numbers, null where an end is open."""
    record = judged(tmp_path, {"exposure_word": "more"}, scene=SCENE, proposed=PROPOSED)
    assert speed_as_plain(record) == {
        "wanted_s": [9.514, None],
        "iso": [None, 0.9296],
        "ev_from": "meter",
        "faster_stops": [None, -0.25],
        "within_proposal": None,
    }
    assert speed_as_plain(judged(tmp_path, {"stars": 3})) is None
    assert speed_as_plain(judged(tmp_path, {"best_strip": 3})) == {
        "left_out": "a best strip, and no strips were exposed"
    }


def test_a_proposal_that_cannot_be_is_passed_over(tmp_path: Path) -> None:
    """A damaged proposal compares with nothing and raises nothing."""
    for low, seconds, high in ((0.0, 8.0, 13.0), (9.0, 8.0, 13.0), (5.0, 8.0, 7.0), (-1.0, -1.0, -1.0)):
        wrong = ProposedExposure(seconds=seconds, low=low, high=high, plates=1, from_="plates")
        assert speed_of(judged(tmp_path, {"exposure_stops": 0}, proposed=wrong)).faster is None
