"""What a plate's record tells learning: the time given, the judgement as an interval, the conditions."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import msgspec
import pytest

from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench.next_plate import got, judged_stops
from darkroom.exposure.conditions import age_of
from darkroom.exposure.judged import Conditions, JudgedPlate, LeftOut
from darkroom.log.plate.judged_exposure import conditions_of, judged_exposure
from darkroom.log.plate.known_exposure import known_exposure
from darkroom.log.plate.record import read_record
from darkroom.process.model import ExposurePlan
from darkroom.process.scene import Scene
from tests.kit.judged import PLATE, SCENE, STRIPS, exposed_plate, record_of


def told(home: Path, judgement: dict[str, Any], **plate: Any) -> JudgedPlate:
    """Return what a plate with a judgement tells."""
    found = judged_exposure(record_of(home, exposed_plate(**plate), judgement))
    assert isinstance(found, JudgedPlate), found
    return found


def left_out(home: Path, judgement: dict[str, Any] | None = None, **plate: Any) -> str:
    """Return why a judged plate tells nothing."""
    found = judged_exposure(record_of(home, exposed_plate(**plate), judgement or {"exposure_stops": 0.5}))
    assert isinstance(found, LeftOut), found
    assert (found.plate, found.number) == (PLATE, 31)
    return found.reason


def test_a_plate_judged_in_stops(tmp_path: Path) -> None:
    """The lens's open time, the stops as an interval, and every condition that the journal holds."""
    assert told(
        tmp_path, {"exposure_stops": 0.5}, scene=SCENE, light="a window", aperture="f/8"
    ) == JudgedPlate(
        plate=PLATE,
        number=31,
        conditions=Conditions(
            process="Trial",
            day="2026-03-01",
            lens="portrait lens 210 mm",
            light="north window",
            kind="window",
            ev=9.5,
            ev_from="meter",
            f_number=5.6,
            lost=1.03,
            batch="C-4 2026-02-01",
            age=28.0,
            developer=21.0,
        ),
        given=8.0,
        low=0.25,
        high=0.75,
    )


@pytest.mark.parametrize(
    ("word", "interval"),
    [("more", (0.25, math.inf)), ("right", (-0.25, 0.25)), ("less", (-math.inf, -0.25))],
)
def test_a_plate_judged_by_a_word(tmp_path: Path, word: str, interval: tuple[float, float]) -> None:
    """A word is an interval, open where it does not say how much."""
    plate = told(tmp_path, {"exposure_word": word})
    assert (8.0, interval) == (plate.given, (plate.low, plate.high))


def test_stops_win_over_a_word(tmp_path: Path) -> None:
    """A number of stops says more than the word at the bench."""
    plate = told(tmp_path, {"exposure_word": "more", "exposure_stops": 1.0})
    assert (plate.low, plate.high) == (0.75, 1.25)


def test_the_newest_judgement_counts(tmp_path: Path) -> None:
    """A rating that corrects another stands instead of it; one that withdraws it leaves nothing."""
    hand = exposed_plate()
    n = next(iter(hand.lines.values()))[-1].n
    corrected = record_of(
        tmp_path, hand, {"exposure_stops": 2.0}, {"exposure_stops": -0.5, "corrects": n + 1}
    )
    found = judged_exposure(corrected)
    assert isinstance(found, JudgedPlate)
    assert (found.low, found.high) == (-0.75, -0.25)
    assert judged_exposure(record_of(tmp_path, hand, {"exposure_stops": 2.0}, {"corrects": n + 1})) is None


def test_a_test_plate_is_told_by_its_best_strip(tmp_path: Path) -> None:
    """The time given is the total of the best strip, and half a step to either side is left open."""
    plate = told(tmp_path, {"best_strip": 3}, plan=STRIPS, open_for=32.0)
    assert (plate.given, plate.low, plate.high) == (8.0, -0.5, 0.5)


@pytest.mark.parametrize(
    ("judgement", "bounds"),
    [({"exposure_stops": 0.5}, (0.25, 0.75)), ({"exposure_word": "more"}, (0.25, 0.5)),
     ({"exposure_stops": -2.0, "exposure_word": "more"}, (-2.25, -1.75))],
)  # fmt: skip
def test_more_said_of_a_best_strip_counts_from_it(
    tmp_path: Path, judgement: dict[str, Any], bounds: tuple[float, float]
) -> None:
    """Learning, the next plate and the plate itself take stops and words against the best strip alike."""
    record = record_of(
        tmp_path, exposed_plate(scene=SCENE, plan=STRIPS, open_for=32.0), {"best_strip": 3, **judgement}
    )
    plate = judged_exposure(record)
    assert isinstance(plate, JudgedPlate)
    assert (plate.given, plate.low, plate.high) == (8.0, *bounds)
    assert record.state is not None
    known = known_exposure(record)
    assert (known.seconds, got(record.state)) == (8.0, 8.0)
    assert known.wanted == judged_stops(record.state) == record.judged.next_stops


def test_the_last_strip_is_open_upward(tmp_path: Path) -> None:
    """A test plate whose longest strip is its best may have wanted more still."""
    plate = told(tmp_path, {"best_strip": 5}, plan=STRIPS, open_for=32.0)
    assert (32.0, -0.5, math.inf) == (plate.given, plate.low, plate.high)


def test_words_of_a_plate_without_a_scene(tmp_path: Path) -> None:
    """An old plate's f-number and kind of light are read from its words; how bright it was nobody knows."""
    known = told(tmp_path, {"exposure_stops": 0}, light="north window", aperture="f/5,6").conditions
    assert (
        known.light, known.kind, known.f_number, known.ev, known.ev_from, known.lost,
    ) == ("north window", "window", 5.6, None, None, 0.0)  # fmt: skip


def test_an_aperture_of_another_scale_is_not_guessed_at(tmp_path: Path) -> None:
    """Words that name no f-number leave it unknown, and the plate still tells how it was judged."""
    assert told(tmp_path, {"exposure_stops": 0}, aperture="U.S. 16").conditions.f_number is None


def test_an_assumed_developer_is_not_a_temperature(tmp_path: Path) -> None:
    """What nobody read is unknown; a reading before the developer went on counts."""
    assert told(tmp_path, {"exposure_stops": 0}, temperatures={}).conditions.developer is None
    hand = exposed_plate()
    assert conditions_of(record_of(tmp_path, hand)).developer == 21.0
    later = exposed_plate()
    later.do(400.0, want.ReadTemperature("developer", 27.0, "hand"))
    assert conditions_of(record_of(tmp_path, later)).developer == 21.0


@pytest.mark.parametrize(
    ("batch", "day", "age"),
    [("C-4 2026-02-01", "2026-03-01", 28.0), ("2026-03-01", "2026-03-01", 0.0), ("C-4", "2026-03-01", None),
     ("made 2026-13-40", "2026-03-01", None), ("2026-04-01", "2026-03-01", None), (None, "2026-03-01", None),
     ("C 2026-02-01", "", None), ("no. 12026-02-010", "2026-03-01", None)],
)  # fmt: skip
def test_the_age_of_the_collodion(batch: str | None, day: str, age: float | None) -> None:
    """The date in the name of the collodion is the day it was made; without one its age is not known."""
    assert age_of(batch, day) == age


def test_an_evening_after_midnight_is_the_day_before(tmp_path: Path) -> None:
    """The day is the working day, which changes at 04:00."""
    hand = exposed_plate()
    (lines,) = hand.lines.values()
    start = lines[0]
    assert isinstance(start, ev.PlateStarted)
    lines[0] = msgspec.structs.replace(start, at="2026-03-01T01:30:00.000+01:00")
    known = conditions_of(record_of(tmp_path, hand))
    assert (known.day, known.age) == ("2026-02-28", 27.0)


def test_a_plate_nobody_judged_tells_nothing(tmp_path: Path) -> None:
    """Stars and faults are no judgement of the exposure, and a rehearsal is no plate."""
    assert judged_exposure(record_of(tmp_path, exposed_plate())) is None
    assert judged_exposure(record_of(tmp_path, exposed_plate(), {"stars": 4})) is None
    rehearsed = record_of(tmp_path, exposed_plate(rehearsal=True), {"exposure_stops": 1})
    assert judged_exposure(rehearsed) is None


def test_a_plate_without_its_first_line_tells_nothing(tmp_path: Path) -> None:
    """A damaged journal is passed over and raises nothing."""
    record = record_of(tmp_path, exposed_plate(), {"exposure_stops": 1})
    path = record.log.path
    path.write_bytes(b"".join(path.read_bytes().splitlines(keepends=True)[1:]))
    damaged = read_record(path)
    assert judged_exposure(damaged) is None
    assert conditions_of(damaged).process == ""


def test_an_abandoned_plate_is_left_out(tmp_path: Path) -> None:
    """A plate given up says nothing, whatever was typed about it."""
    hand = exposed_plate()
    hand.do(500.0, want.Abandon("broke"))
    found = judged_exposure(record_of(tmp_path, hand, {"exposure_stops": 1}))
    assert found == LeftOut(plate=PLATE, number=31, reason="abandoned")


@pytest.mark.parametrize(("developed", "reason"), [(10.0, "0.67"), (24.0, "1.6 times")])
def test_a_plate_developed_too_short_or_too_long(tmp_path: Path, developed: float, reason: str) -> None:
    """Under 0.7 or over 1.5 of its plan the developer, not the exposure, made the plate."""
    plan = {"time": 15.0}
    assert left_out(tmp_path, developed=developed, varied=plan).startswith(f"developed for {reason}")
    for seconds in (11.0, 22.0):
        told(tmp_path, {"exposure_stops": 0}, developed=seconds, varied=plan)


def test_developing_by_eye_is_held_against_the_usual_range(tmp_path: Path) -> None:
    """A stage without a plan has its usual range for one, from its lower to its upper end."""
    by_eye = {"ends": "by_eye", "time": None, "expect": [15.0, 30.0]}
    assert left_out(tmp_path, developed=50.0, varied=by_eye).startswith("developed for 1.7 times")
    told(tmp_path, {"exposure_stops": 0}, developed=40.0, varied=by_eye)


@pytest.mark.parametrize("stage", ["sensitise", "expose"])
def test_a_plate_cut_short_is_left_out(tmp_path: Path, stage: str) -> None:
    """A bath or an exposure that was cut short on purpose is not the plate as it was planned."""
    hand = exposed_plate()
    hand.lines["p1"] = [
        msgspec.structs.replace(line, how="short")
        if isinstance(line, ev.StageEnded) and line.stage == stage
        else line
        for line in hand.lines["p1"]
    ]
    found = judged_exposure(record_of(tmp_path, hand, {"exposure_stops": 1}))
    assert LeftOut(plate=PLATE, number=31, reason=f"{stage} was cut short") == found


def test_a_plate_past_wet_is_left_out(tmp_path: Path) -> None:
    """A plate that dried before its developer says nothing of the exposure."""
    assert left_out(tmp_path, waited=900.0) == "past wet"


def test_an_exposure_nobody_knows_is_left_out(tmp_path: Path) -> None:
    """The lens was open for an unknown time: nothing is reckoned from it."""
    assert "not known" in left_out(tmp_path, plan=None, timed="away")


@pytest.mark.parametrize(
    ("plan", "judgement", "reason"),
    [(STRIPS, {"exposure_stops": 0.5}, "without its best strip"),
     (STRIPS, {"best_strip": 9}, "no strip 9 of 5"),
     (ExposurePlan(steps=(32.0,), between="run_on"), {"best_strip": 1}, "a single strip"),
     (ExposurePlan(seconds=32.0), {"best_strip": 2}, "no strips"),
     (ExposurePlan(pops=5, recycle=7.75), {"exposure_stops": 0.5}, "flashes")],
)  # fmt: skip
def test_an_exposure_that_says_nothing_of_the_light(
    tmp_path: Path, plan: ExposurePlan, judgement: dict[str, Any], reason: str
) -> None:
    """A test plate needs its best strip, a best strip its test plate; flashes are no seconds of light."""
    assert reason in left_out(tmp_path, judgement, plan=plan, open_for=32.0)


@pytest.mark.parametrize(
    ("scene", "reason"),
    [(Scene(ev=300.0), "EV 300"), (Scene(f_number=0.0), "f/0"), (Scene(f_number=-8.0), "f/-8"),
     (Scene(bellows=1e9), "stops of light lost")],
)  # fmt: skip
def test_a_scene_that_cannot_be_is_left_out(tmp_path: Path, scene: Scene, reason: str) -> None:
    """Figures beyond anything a camera sees are named and not reckoned with."""
    assert reason in left_out(tmp_path, scene=scene)
