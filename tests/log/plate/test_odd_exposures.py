"""Journals that a hand has changed: what they say of the exposure is told or left out, and nothing raises."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import msgspec
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from darkroom.exposure.judged import JudgedPlate
from darkroom.log.catalogue.rows import plate_rows_of
from darkroom.log.plate.columns import PLATE
from darkroom.log.plate.judged_exposure import judged_exposure
from darkroom.log.plate.own_speed import speed_as_plain, speed_facts
from darkroom.log.plate.record import read_record
from darkroom.log.trends.speed import over_speed
from darkroom.process.model import ExposurePlan
from darkroom.process.scene import ProposedExposure, Scene
from tests.kit.exports import shelve
from tests.kit.judged import exposed_plate, record_of
from tests.kit.nightly import examples

numbers = st.one_of(
    st.floats(allow_nan=False, allow_infinity=False),
    st.sampled_from([0.0, -1.0, 1e-300, 1e300, -1e300, 5.6, 9.5]),
)
words = st.one_of(st.none(), st.text(max_size=6), st.sampled_from(["light", "sun", "window", "shade"]))
scenes = st.builds(
    Scene,
    light=words, kind=words, ev=st.none() | numbers, ev_from=words, f_number=st.none() | numbers,
    bellows=st.none() | numbers, filter=st.none() | numbers, other=st.none() | numbers, place=words,
    sun_altitude=st.none() | numbers, receiver=words, sky=words,
)  # fmt: skip
proposals = st.builds(
    ProposedExposure,
    seconds=numbers,
    low=numbers,
    high=numbers,
    plates=st.integers(-5, 10**6),
    from_=st.just("plates"),
)
plans = st.one_of(
    st.builds(ExposurePlan, seconds=st.just(8.0)),
    st.builds(ExposurePlan, between=st.just("run_on"),
              steps=st.lists(st.sampled_from([2.0, 4.0, 0.0]), min_size=1, max_size=4).map(tuple)),
)  # fmt: skip


@settings(
    max_examples=examples(60), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    scene=st.none() | scenes,
    proposed=st.none() | proposals,
    plan=plans,
    stops=st.none() | numbers,
    strip=st.none() | st.integers(-3, 2**60),
    bottle=st.text(max_size=12) | st.sampled_from(["C 0001-01-01", "C 9999-12-31", "2026-02-30"]),
)
def test_no_figure_raises(
    tmp_path: Path,
    scene: Scene | None,
    proposed: ProposedExposure | None,
    plan: ExposurePlan,
    stops: float | None,
    strip: int | None,
    bottle: str,
) -> None:
    """Whatever a journal's members say, judgement, speed, columns and rows are made of it."""
    hand = exposed_plate(plan=plan, bottles={"collodion": bottle})
    start = hand.lines["p1"][0]
    hand.lines["p1"][0] = msgspec.structs.replace(start, scene=scene, proposed=proposed)
    rating: dict[str, Any] = {"exposure_stops": stops, "best_strip": strip, "exposure_word": "more"}
    record = record_of(tmp_path, hand, rating)
    said = judged_exposure(record)
    if isinstance(said, JudgedPlate):
        assert 0 < said.given < math.inf and said.low < said.high
        over_speed([said] * 6)
    for label, text in speed_facts(record):
        assert label and text and "nan" not in text
    speed_as_plain(record)
    for _, _, value in PLATE:
        value(record)
    plate_rows_of(record.log, "plates")


def test_a_lost_first_line_has_no_columns_of_the_scene(tmp_path: Path) -> None:
    """The columns of a plate whose start is lost are empty."""
    record = record_of(tmp_path, exposed_plate(), {"exposure_stops": 1})
    path = shelve(tmp_path, record.log.events)  # type: ignore[arg-type]
    path.write_bytes(b"".join(path.read_bytes().splitlines(keepends=True)[1:]))
    damaged = read_record(path)
    values = {key: value(damaged) for _, key, value in PLATE}
    assert values["ev"] is None and values["camera"] is None and values["speed_low_iso"] is None
