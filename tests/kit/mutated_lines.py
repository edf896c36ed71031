"""Lines of a plate as the bench decides them, as nobody would write them, and with hands in between."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hypothesis import strategies as st
from msgspec.structs import replace

from darkroom.bench import clocks
from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.event_base import Newer
from darkroom.process.model import ExposurePlan
from darkroom.process.scene import Scene
from tests.kit.bench import Hand, at, start

STAGES = ("coat", "sensitise", "drain", "expose", "develop", "stop", "fix", "wash", "dry", "gild")
"""Those of the trial process, and one that it has not."""
PLANS = (None, ExposurePlan(seconds=8.0), ExposurePlan(steps=(2.0, 4.0), between="strike"))
BOTTLES: tuple[dict[str, Any], ...] = (
    {},
    {"bottles": {"fixer": "F1"}},
    {"bottles": {"fixer": "F1", "collodion": "C-4"}, "bottle_ids": {"developer": "d-7", "fixer": "f-1"}},
)
_seconds = st.floats(0.0, 400.0).map(lambda value: round(value, 3))
_stage = st.sampled_from(STAGES)
_none = st.none()
_source = st.sampled_from(("room", "bath", "developer"))
_rarely = st.sampled_from((None, None, None, None, 2))

INTENTS: st.SearchStrategy[Any] = st.one_of(
    *(st.just(want.Go(plate="p1", number=1)) for _ in range(6)),
    st.sampled_from((want.MarkNow(), want.Undo(), want.Earlier(), want.Skip())),
    st.sampled_from((want.AddExposure(3.0), want.TellOpen(4.0), want.Say(""), want.JudgeExposure("more"))),
    st.builds(want.ReadTemperature, _source, _seconds, st.just("hand")),
    st.builds(want.ReadHumidity, st.floats(1.0, 99.0), st.just("hand")),
    st.builds(want.SetWetTime, st.sampled_from((None, 200.0))),
)  # fmt: skip


@st.composite
def decided(draw: st.DrawFn) -> list[ev.AnyEvent]:
    """Return the lines of a plate that the bench itself decided."""
    hand, up = Hand(), 0.0
    hand.new(up, plan=draw(st.sampled_from(PLANS)), **draw(st.sampled_from(BOTTLES)))
    for intent, seconds in draw(st.lists(st.tuples(INTENTS, _seconds), min_size=5, max_size=40)):
        up += seconds + 0.9
        while hand.bench.shown is not None and (zero := clocks.automatic_zero(hand.plate) or up) < up:
            hand.zero(zero)
        hand.do(up, intent)
    return hand.lines.get("p1", [start("p1")])


def _line(kind: type[Any], /, **members: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.builds(kind, n=st.just(0), at=st.just(""), up=st.just(0.0), **members)


_text = st.text(max_size=5)
_corrects = st.sampled_from((None, None, None, 3, 5, 8, 12))
_numbers = st.lists(st.integers(1, 12), max_size=3).map(tuple)
LINES: st.SearchStrategy[Any] = st.one_of(
    _line(ev.StageStarted, stage=_stage, planned=_seconds, celsius=_seconds),
    _line(ev.StageStarted, stage=_stage, planned=st.none(), celsius=st.none(), part=_rarely),
    _line(
        ev.StageEnded,
        stage=_stage,
        seconds=_seconds,
        planned=_seconds,
        how=st.sampled_from(("strike", "zero", "told", "short", "skipped")),
        exposed=st.none() | _seconds,
        unseen=st.sampled_from((None, None, True)),
    ),
    _line(ev.LeadInStarted, stage=_stage, seconds=_seconds, part=_rarely),
    _line(ev.Cleared, stage=_stage, seconds=_seconds),
    _line(ev.Temperature, source=_source, celsius=_seconds, from_=_text),
    _line(ev.Humidity, percent=_seconds, from_=_text),
    _line(ev.ExposureSet, plan=st.sampled_from(PLANS), aperture=st.sampled_from((None, "f/8")),
          scene=st.sampled_from((None, Scene(light="north window", ev=9.5)))),
    _line(ev.WetTimeSet, seconds=st.none() | _seconds),
    _line(ev.Mark),
    _line(ev.Refused, intent=_text, reason=_text, asks=st.sampled_from((None, "short")), stage=_stage),
    _line(ev.Acknowledged, what=_text, count=st.sampled_from((None, 2))),
    _line(ev.Clock, kind=st.sampled_from(("stepped", "stalled", "slept")), seconds=_seconds),
    _line(ev.Racked),
    _line(ev.PlateEnded, how=st.sampled_from(("done", "unvarnished", "abandoned"))),
    _line(ev.Moved, moves=_numbers, seconds=_seconds),
    _line(ev.Undone, undoes=_numbers, held=st.booleans()),
    _line(ev.Resumed, gap=_seconds, by=st.sampled_from(("up", "wall")), boot=_text),
    _line(ev.StageStarted, stage=_stage, planned=_seconds, celsius=_none, bottles=st.just({"bath": "B"})),
    _line(Newer, event=st.just("toned"), members=st.just({"with": "gold"})),
)  # fmt: skip
"""A line of any kind but a further start."""
JUDGEMENTS: st.SearchStrategy[Any] = st.one_of(
    _line(ev.Rating, stars=st.none() | st.integers(1, 5), exposure_stops=st.sampled_from((None, -0.5, 1.0)),
          best_strip=st.sampled_from((None, 1, 2)), exposure_word=st.sampled_from((None, "more", "right")),
          nothing_else=st.sampled_from((None, True, False, ["fog"])), corrects=_corrects),
    _line(ev.Fault, name=st.sampled_from(("fog", "general fog", "comets")), where=st.none() | _text,
          cause=st.sampled_from((None, "over-exposed", "warm developer")),
          answers=st.sampled_from((None, {}, {"Is it grey?": "yes"})), corrects=_corrects),
    _line(ev.Note, text=_text | st.just("the image showed"), about=_corrects, corrects=_corrects),
    _line(ev.Detail, key=st.sampled_from(("next", "scan", "exposed", "first seen", "weather")),
          value=_text | st.just("12 s"), corrects=_corrects),
)  # fmt: skip


@st.composite
def disturbed(draw: st.DrawFn) -> list[Any]:
    """Return the lines of a plate, straight or not: some left out, some that nobody would write, judged."""
    lines: list[Any] = draw(decided())
    for place, line in draw(st.lists(st.tuples(st.integers(1, 60), LINES), max_size=4)):
        lines.insert(min(place, len(lines)), line)
    gone = draw(st.sets(st.integers(0, 60), max_size=2))
    lines = [line for place, line in enumerate(lines) if place not in gone]
    return numbered(lines + draw(st.lists(JUDGEMENTS, max_size=5)), draw(st.sampled_from((None, 2, 7))))


def numbered(lines: Sequence[Any], timeless: int | None = None) -> list[Any]:
    """Return the lines as 1, 2, 3 …, the clock never going back; the one at `timeless` has no time on it."""
    out: list[Any] = []
    up = 0.0
    for place, line in enumerate(lines):
        up = max(up, line.up or 0.0) + (0.0 if line.at else 1.5)
        dry = isinstance(line, ev.REVIEW) or place == timeless
        wall = line.at or at(up)
        out.append(replace(line, n=place + 1, at=wall, up=None if dry else up))
    return out
