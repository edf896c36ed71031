"""What a process cannot have said by its recordings, and what the voice says in its place."""

from __future__ import annotations

from msgspec.structs import replace

from darkroom import resources
from darkroom.bench.all_plates import Bench
from darkroom.bench.cues import cues
from darkroom.bench.fold import begin
from darkroom.devices.sound.sound_files import recorded
from darkroom.process.file.plain_form import to_plain
from darkroom.process.model import Process, Repeat, Stage, Verbs
from darkroom.session.speech import SpokenSet
from darkroom.session.spoken_cautions import SpokenCautions
from darkroom.session.unspoken import Unspoken, unspoken
from tests.kit.bench import start

SET = SpokenSet(recorded())
TINTYPE = resources.load_process("tintype")


def with_stage(name: str, **members: object) -> Process:
    """Return the tintype with other members of one stage."""
    stages = tuple(
        replace(stage, **members) if stage.name == name else stage  # type: ignore[arg-type]
        for stage in TINTYPE.stages
    )
    return replace(TINTYPE, stages=stages)


def the_one(process: Process) -> Unspoken:
    """Return the only note on a process."""
    (one,) = unspoken(process, SET)
    return one


def running(process: Process, name: str) -> Bench:
    """Return a bench whose one plate has been in a stage since 0."""
    state = replace(
        begin(start(process=to_plain(process)), 0.0), index=process.index(name), phase="running", since=0.0
    )
    return Bench(plates={"p": state}, large="p")


def test_what_is_shipped_is_spoken_whole() -> None:
    """Nothing is noted of the shipped processes."""
    for path in resources.shipped_processes():
        assert unspoken(resources.read_process(path), SET) == []


def test_a_verb_without_a_recording_gives_way_to_its_stage() -> None:
    """The note says what the call at the zero really says: the plate, and the name of the stage."""
    process = with_stage("sensitise", verb=Verbs(due="heben"))
    one = the_one(process)
    assert one == Unspoken("stages[3].verb.due", "heben", ("heben",), "sensitise")
    assert one.what == "no recording of 'heben': says 'sensitise' instead"
    (call,) = [cue for cue in cues(running(process, "sensitise"), 200.0) if cue.name == "end"]
    assert SET.say(call.say, call.instead) == ("plate", "1", "sensitise")


def test_a_caution_without_a_recording_gives_way_to_its_stage() -> None:
    """In place of such a caution the voice says "caution" with the stage, as the note says."""
    process = with_stage("sensitise", cautions=("Silver nitrate blinds. Not the zebra.",))
    one = the_one(process)
    assert (one.key, one.words, one.instead) == ("stages[3].cautions[1]", ("zebra",), "caution sensitise")
    cue = SpokenCautions().due(running(process, "sensitise"), 1.0)
    assert cue is not None
    assert " ".join(SET.say(cue.say, cue.instead)) == one.instead


def test_a_repeat_without_a_recording_gives_way_to_its_stage() -> None:
    """What comes again within a stage is called by the name of the stage."""
    process = with_stage("sensitise", repeat=Repeat(every=30.0, verb="wiegen"))
    assert the_one(process) == Unspoken("stages[3].repeat.verb", "wiegen", ("wiegen",), "sensitise")
    (call,) = [cue for cue in cues(running(process, "sensitise"), 5.0) if cue.name == "repeat"]
    assert SET.say(call.say, call.instead)[:3] == ("plate", "1", "sensitise")


def test_where_not_even_the_stage_can_be_said_the_plate_is() -> None:
    """Name, label and verb of a stage in another language leave the plate's number."""
    process = Process(
        name="Zwei Schritte",
        sensitive="never",
        stages=(
            Stage(name="giessen", light="white", ends="by_eye", label="Gießen", verb=Verbs(due="los")),
            Stage(name="dry", light="white", ends="by_eye"),
        ),
    )
    found = unspoken(process, SET)
    assert [(one.key, one.instead) for one in found] == [
        ("stages[1].name", None),
        ("stages[1].label", None),
        ("stages[1].verb.due", None),
    ]
    assert found[2].what == "no recording of 'los': says the plate's number instead"


def test_a_short_name_counts_where_a_question_says_it() -> None:
    """The question before an early end names the next stage as the large letters do; elsewhere none does."""
    place = TINTYPE.index("wash")
    wash, after = TINTYPE.stages[place], replace(TINTYPE.stages[place + 1], short="Regal")
    asks = (*TINTYPE.stages[:place], replace(wash, verb=None), after, *TINTYPE.stages[place + 2 :])
    assert the_one(replace(TINTYPE, stages=asks)).key == f"stages[{place + 2}].short"
    assert unspoken(with_stage(after.name, short="Regal"), SET) == []
    assert unspoken(with_stage("coat", short="Guss"), SET) == []


def test_recordings_of_ones_own_count() -> None:
    """With a recording of the word nothing is noted."""
    process = with_stage("sensitise", verb=Verbs(due="heben"))
    assert unspoken(process, SpokenSet(recorded() | {"heben"})) == []
