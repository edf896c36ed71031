"""From a file's text to a process, and through the journal's form and back."""

from __future__ import annotations

import json

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.errors import ProcessError
from darkroom.process.file.plain_form import from_plain, to_plain
from darkroom.process.file.profile import parse
from darkroom.process.model import (
    EARLY,
    ENDS,
    HOLDS,
    LIGHTS,
    ROLES,
    SOURCES,
    Hints,
    Process,
    Reference,
    Repeat,
    Sensitive,
    Stage,
    Verbs,
    Wash,
    WetWindow,
)

SMALLEST = """
name: Smallest
sensitive: never
stages:
  - {name: rinse, light: white, ends: by_eye}
"""
SECONDS = st.floats(0.1, 86400)
TEXT = st.text(st.characters(categories=("L", "N")), min_size=1, max_size=9)


def test_only_name_and_stages_are_required() -> None:
    """The smallest file gives a process with every default filled in."""
    process = parse(SMALLEST, "smallest.yaml")
    assert process.humidity == 50
    assert process.temperatures == {"room": 20.0}
    assert process.wet_window is None
    stage = process.stages[0]
    assert (stage.optional, stage.starts, stage.patience, stage.holds, stage.rack) == (
        False,
        "at_once",
        0.0,
        (),
        False,
    )


def test_a_liquid_without_a_temperature_takes_the_rooms() -> None:
    """A liquid that a stage asks for and the file gives no temperature is assumed as warm as the room."""
    text = SMALLEST.replace("ends: by_eye", "ends: on_time, time: 1 min, at: water")
    assert parse(text, "x.yaml").temperatures == {"room": 20.0, "water": 20.0}
    warm = text + "temperatures: {room: 25 °C, bath: 18 °C}\n"
    assert parse(warm, "x.yaml").temperatures == {"room": 25.0, "water": 25.0, "bath": 18.0}


def test_values_mean_what_their_keys_say() -> None:
    """`3:30` is three and a half minutes, `No` is a word, and 68 °F is 20 °C."""
    text = """
name: No
humidity: 40 %
temperatures: {room: 68 °F, bath: 15 °C}
stages:
  - {name: sensitise, light: covered, ends: on_time, at: bath, time: 3:30, patience: 0 s}
  - {name: expose, light: covered, ends: exposure}
  - {name: hold, light: covered, ends: at_zero, time: 1/2 min}
  - {name: develop, light: red, ends: on_time, at: developer, time: {at: 68 °F, is: 15 s, coefficient: 2}}
  - {name: fix, light: white, ends: cleared, holds: hypo, cautions: One line.}
  - name: wash
    light: white
    ends: on_time
    wash: {flow: 2 L/min, tank: 4 L, start: 20 %, limit: 1 g/L, lag: 1 min}
"""
    process = parse(text, "no.yaml")
    assert process.name == "No"
    assert process.temperatures == {"room": 20.0, "bath": 15.0, "developer": 20.0}
    assert process.sensitive == Sensitive(from_="sensitise", to="fix")
    assert [stage.time for stage in process.stages[:3]] == [210.0, None, 30.0]
    assert process.stages[3].time == Reference(at=20.0, is_=15.0, coefficient=2.0)
    assert process.stages[4].clearing_factor == 2.0
    assert process.stages[4].cautions == ("One line.",)
    wash = process.stages[5].wash
    assert wash == Wash(flow=pytest.approx(100 / 3), tank=4000.0, start=200.0, limit=1.0, lag=60.0)
    assert process.stages[3].waits is False
    assert process.stages[1].waits is True


@pytest.mark.parametrize(
    ("lights", "right"),
    [
        (("covered", "red", "covered", "red"), True),
        (("red", "covered", "covered", "covered"), True),
        (("covered", "covered", "covered", "red"), True),
        (("red", "red", "red", "red"), True),
        (("red", "red", "covered", "white"), False),
        (("white", "red", "covered", "red"), False),
    ],
)
def test_covered_may_join_the_exposure_without_a_break(lights: tuple[str, ...], right: bool) -> None:
    """Before and after the exposure a plate may stay covered as long as nothing breaks the chain."""
    text = "name: light\nstages:\n"
    for name, light, ends in zip(
        ("sensitise", "load", "expose", "carry"),
        lights,
        ("by_eye", "by_eye", "exposure", "by_eye"),
        strict=True,
    ):
        text += f"  - {{name: {name}, light: {light}, ends: {ends}}}\n"
    text += "  - {name: fix, light: white, ends: by_eye}\n"
    if right:
        assert [stage.light for stage in parse(text, "light.yaml").stages[:4]] == list(lights)
    else:
        with pytest.raises(ProcessError, match="white light on a sensitive plate"):
            parse(text, "light.yaml")


def test_a_break_between_covered_and_the_exposure_is_refused() -> None:
    """A covered stage that a red one parts from the exposure is no holder any more."""
    text = """
name: broken
stages:
  - {name: sensitise, light: red, ends: by_eye}
  - {name: box, light: covered, ends: by_eye}
  - {name: load, light: red, ends: by_eye}
  - {name: expose, light: covered, ends: exposure}
  - {name: fix, light: white, ends: by_eye}
"""
    with pytest.raises(ProcessError, match="covered only on 'sensitise'"):
        parse(text, "broken.yaml")


LAWS = st.one_of(
    SECONDS,
    st.builds(Reference, at=st.floats(0, 40), is_=SECONDS, coefficient=st.floats(1, 10)),
    st.lists(st.tuples(st.floats(0, 40), SECONDS), min_size=2, max_size=4).map(
        lambda rows: tuple(sorted(rows))
    ),
)
RANGES = st.tuples(SECONDS, SECONDS).map(lambda pair: (min(pair), max(pair)))
WASHES = st.one_of(
    st.builds(Wash, start=SECONDS, limit=SECONDS, lag=SECONDS, carried=SECONDS, change=SECONDS),
    st.builds(Wash, start=SECONDS, limit=SECONDS, lag=SECONDS, flow=SECONDS, tank=SECONDS),
)
MAYBE = st.none() | TEXT


@st.composite
def processes(draw: st.DrawFn) -> Process:
    """Return a process of two to five stages with all kinds of members."""
    names = draw(st.lists(TEXT, min_size=2, max_size=5, unique=True))
    stages = tuple(
        draw(
            st.builds(
                Stage,
                name=st.just(name),
                light=st.sampled_from(LIGHTS),
                ends=st.sampled_from(ENDS),
                label=st.none() | TEXT,
                optional=st.booleans(),
                lead_in=st.none() | SECONDS,
                at=st.none() | st.sampled_from(SOURCES),
                time=st.none() | LAWS,
                wash=st.none() | WASHES,
                expect=st.none() | RANGES | st.just(((10.0, (1.0, 2.0)), (20.0, (0.5, 1.0)))),
                patience=st.just(0.0) | SECONDS,
                limits=st.none() | st.just((10.0, 32.0)),
                clearing_factor=st.none() | st.floats(1, 10),
                holds=st.lists(st.sampled_from(HOLDS), unique=True, max_size=3).map(tuple),
                cautions=st.lists(TEXT, max_size=2).map(tuple),
                hint=st.none() | TEXT,
                hints=st.none() | st.builds(Hints, ready=MAYBE, running=MAYBE, due=MAYBE),
                verb=st.none() | st.builds(Verbs, lead_in=MAYBE, due=MAYBE),
                early=st.none() | st.sampled_from(EARLY),
                repeat=st.none() | st.builds(Repeat, every=st.floats(5, 600), verb=TEXT),
                holds_plates=st.none() | st.integers(1, 50),
                at_least=st.none() | SECONDS,
                confirm=MAYBE,
                rack=st.booleans(),
                uses=st.none() | st.sampled_from(ROLES),
            )
        )
        for name in names
    )
    window = st.builds(
        WetWindow,
        from_=st.just(names[0]),
        to=st.just(names[1]),
        time=SECONDS,
        temperature=st.floats(0, 40),
        humidity=st.floats(0, 95),
        longest=SECONDS,
    )
    return Process(
        name=draw(TEXT),
        stages=stages,
        makes=draw(st.none() | TEXT),
        temperatures=draw(st.dictionaries(st.sampled_from(SOURCES), st.floats(0, 40))),
        humidity=draw(st.floats(0, 100)),
        sensitive=draw(st.just("never") | st.just(Sensitive(from_=names[0], to=names[-1]))),
        wet_window=draw(st.none() | window),
    )


@given(processes())
def test_the_journals_form_gives_the_same_process_back(process: Process) -> None:
    """A process survives its plain form, and that form survives JSON."""
    plain = to_plain(process)
    assert from_plain(plain) == process
    assert from_plain(json.loads(json.dumps(plain))) == process
    assert from_plain(msgspec.json.decode(msgspec.json.encode(plain))) == process


def test_the_journals_form_uses_the_files_own_keys() -> None:
    """Seconds and °C are numbers, a table is pairs, and members carry the names a file gives them."""
    text = SMALLEST.replace(
        "ends: by_eye}", "ends: on_time, at: bath, time: {10 °C: 2 min, 20 °C: 1 min}, hint: Soft.}"
    )
    plain = to_plain(parse(text, "x.yaml"))
    assert plain["sensitive"] == "never"
    assert plain["stages"][0]["time"] == [[10.0, 120.0], [20.0, 60.0]]
    assert plain["stages"][0]["hint"] == "Soft."
    assert plain["temperatures"] == {"room": 20.0, "bath": 20.0}
    spanned = text.replace("never", "{from: rinse, to: end}").replace("light: white", "light: red")
    spans = parse(spanned + "  - {name: end, light: white, ends: by_eye}\n", "x.yaml")
    assert to_plain(spans)["sensitive"] == {"from": "rinse", "to": "end"}


@pytest.mark.parametrize(
    ("hint", "one", "moments"),
    [
        ("Soft.", "Soft.", None),
        ("{ready: A., running: B., due: C.}", "B.", {"ready": "A.", "running": "B.", "due": "C."}),
        ("{due: C., ready: A.}", "A.", {"ready": "A.", "due": "C."}),
        ("{due: C.}", "C.", {"due": "C."}),
    ],
)
def test_a_journal_keeps_one_sentence_and_those_of_the_moments(
    hint: str, one: str, moments: dict[str, str] | None
) -> None:
    """`hint` stays one sentence, running before ready before due; the mapping is the optional `hints`."""
    stage = to_plain(parse(SMALLEST.replace("by_eye}", f"by_eye, hint: {hint}}}"), "x.yaml"))["stages"][0]
    assert (stage["hint"], stage["hints"]) == (one, moments)


def test_a_journal_without_the_newer_members_is_read() -> None:
    """The plain form of a process that knows no verbs, moments or repeated calls gives the same process."""
    process = parse(SMALLEST, "x.yaml")
    newer = {"hints", "verb", "early", "repeat", "holds_plates", "uses"}
    plain = to_plain(process)
    plain["stages"] = [{k: v for k, v in stage.items() if k not in newer} for stage in plain["stages"]]
    assert from_plain(plain) == process


@pytest.mark.parametrize(
    "change",
    [
        {"stages": []},
        {"name": 3},
        {"stages": [{"name": "a", "light": "green", "ends": "by_eye"}]},
        {"sensitive": {"from": "a", "to": "b"}},
        {"stages": None},
        {"stages": [{"name": "a", "light": "red", "ends": "on_time", "time": 0.0}]},
        {"stages": [{"name": "a", "light": "red", "ends": "on_time", "time": [[10.0, -5.0]]}]},
        {"stages": [{"name": "a", "light": "red", "ends": "by_eye"}] * 2},
    ],
)
def test_a_damaged_plain_form_is_refused(change: dict[str, object]) -> None:
    """A plain form of the wrong shape, or whose names lead nowhere, brings one clear error."""
    plain = {**to_plain(parse(SMALLEST, "x.yaml")), **change}
    with pytest.raises(ProcessError, match="journal"):
        from_plain(plain)
