"""The shipped processes: right, complete, careful, and each number with its source."""

from __future__ import annotations

import re
from pathlib import Path

import msgspec
import pytest

from darkroom import resources
from darkroom.bench import endings, moments
from darkroom.process import rinses
from darkroom.process.model import Process, Reference, Stage, Verbs

FILES = resources.shipped_processes()
PROCESSES = {path.stem: resources.read_process(path) for path in FILES}
PLAIN = ("clear-glass", "black-glass", "tintype", "negative")
CYANIDE = tuple(f"{stem}-cyanide" for stem in PLAIN)


def cautions(process: Process, name: str) -> str:
    """Return what is said before a stage, as one text."""
    return " ".join(process.stage(name).cautions).lower()


def test_four_processes_each_with_hypo_and_with_cyanide() -> None:
    """Two ambrotypes, a tintype and a negative are shipped, each with either fixer and its own name."""
    assert set(PROCESSES) == {*PLAIN, *CYANIDE}
    assert len({process.name for process in PROCESSES.values()}) == len(PROCESSES)


@pytest.mark.parametrize("stem", sorted(PROCESSES))
def test_each_goes_from_the_bare_plate_to_the_varnish(stem: str) -> None:
    """Every shipped process has the whole way of a plate, in its order."""
    names = [stage.name for stage in PROCESSES[stem].stages]
    way = [
        "prepare",
        "coat",
        "sensitise",
        "drain",
        "expose",
        "develop",
        "stop",
        "fix",
        "wash",
        "dry",
        "warm",
        "varnish",
        "cure",
    ]
    assert [name for name in names if name in way] == way
    assert PROCESSES[stem].stage("prepare").optional
    assert PROCESSES[stem].stage("dry").rack
    assert ("intensify" in names) == stem.startswith("negative")


EACH = pytest.mark.parametrize("stem", sorted(PROCESSES))
LONGEST_SENTENCE = 48
"""Letters of a sentence that a screen of 200 columns still shows in large letters."""


def sentences(stage: Stage) -> dict[str, str]:
    """Return {moment: sentence} of a stage's file."""
    told: dict[str, str] = msgspec.to_builtins(stage.hints)
    return told


@EACH
def test_every_stage_fits_the_screen(stem: str) -> None:
    """Each sentence fits one row of the smallest screen, each name and verb the large lettering."""
    for stage in PROCESSES[stem].stages:
        assert stage.hints is not None
        assert all(0 < len(sentence) <= LONGEST_SENTENCE for sentence in sentences(stage).values())
        assert 0 < len(stage.large) <= 9
        assert all(len(caution) <= 100 for caution in stage.cautions)
        for verb in msgspec.to_builtins(stage.verb or Verbs()).values():
            assert verb.isalpha() and verb.islower() and len(verb) <= 9


@EACH
def test_every_moment_of_a_stage_has_its_sentence(stem: str) -> None:
    """A stage that waits says what to do first, each says what to do while it runs and when it is due."""
    process = PROCESSES[stem]
    for place, stage in enumerate(process.stages):
        told = sentences(stage)
        assert ("ready" in told) == (stage.waits or place == 0)
        assert "running" in told
        assert ("due" in told) == (not stage.rack)


@EACH
def test_a_sentence_says_press_where_a_press_is_meant(stem: str) -> None:
    """Nothing on the bench says "strike", which is heard as lighting a match."""
    for stage in PROCESSES[stem].stages:
        told = sentences(stage)
        for text in (*told.values(), *stage.cautions, stage.confirm or ""):
            assert "strike" not in text.lower()
        if "ready" in told:
            assert "press" in told["ready"].lower()
        if not endings.of(stage).goes_on and not stage.rack:
            assert "press" in f"{told['running']} {told['due']}".lower()


@EACH
def test_the_slide_goes_out_before_the_cap_and_in_after_it(stem: str) -> None:
    """The slide is drawn with the cap on before an exposure; after it the cap is on before it is shut."""
    told = sentences(PROCESSES[stem].stage("expose"))
    assert told["ready"].index("slide out") < told["ready"].index("uncap")
    assert told["due"].index("Cap on") < told["due"].index("slide in")
    assert "slide in" in sentences(PROCESSES[stem].stage("develop"))["ready"].lower()


@EACH
def test_a_plate_is_lifted_drained_and_loaded_without_a_mark(stem: str) -> None:
    """While the bath runs the holder is readied; out of it the corner that drained stays down."""
    process = PROCESSES[stem]
    assert sentences(process.stage("sensitise"))["running"] == "Leave it in. Lift at the call."
    assert moments.verb_when_due(process, process.stage("sensitise")) == "lift"
    for words in ("stays down in the holder", "holder's corners dry"):
        assert words in cautions(process, "drain")
    for words in ("wipe back", "blot lower edge", "Load"):
        assert words in sentences(process.stage("drain"))["running"]
    assert "Same corner down, slide in" in sentences(process.stage("drain"))["due"]


@EACH
def test_a_positive_is_stopped_as_its_shadows_show_and_a_negative_by_its_density(stem: str) -> None:
    """A positive takes water before it looks finished; a negative is looked through and may stay longer."""
    process = PROCESSES[stem]
    develop = process.stage("develop")
    assert process.is_free_early(develop)
    assert isinstance(develop.time, Reference)
    told = sentences(develop)
    if stem.startswith("negative"):
        assert "look through it" in told["running"]
        assert "Dense enough" in told["due"]
        assert "look through it" in sentences(process.stage("intensify"))["running"].lower()
        assert develop.time.is_ >= 45
    else:
        assert told["running"] == "Hold it on. Water as shadow detail just shows."
        assert "before it looks finished" in told["due"]
        assert develop.time.is_ <= 20


@pytest.mark.parametrize("stem", [stem for stem in PROCESSES if stem.startswith("tintype")])
def test_a_tintype_is_held_by_its_thumb_corner(stem: str) -> None:
    """A metal plate has no grip but its corner: the collodion is poured around the thumb."""
    assert sentences(PROCESSES[stem].stage("coat"))["ready"] == (
        "Thumb on a corner. Press, then pour around it."
    )


@EACH
def test_the_plate_that_is_warmed_again_can_flame(stem: str) -> None:
    """The wet plate burns too: said before it is warmed again and while it is, with the bottle capped."""
    process = PROCESSES[stem]
    assert "the plate itself can flame. drained, held high, kept moving" in cautions(process, "cure")
    assert "bottle capped" in cautions(process, "cure")
    assert "can flame" in sentences(process.stage("cure"))["running"]
    assert "no ether" in sentences(process.stage("warm"))["ready"].lower()


@pytest.mark.parametrize("path", FILES, ids=[path.stem for path in FILES])
def test_every_number_names_its_source(path: Path) -> None:
    """Each line with a number carries a comment, at its end or just above it, beside the file's own rule."""
    lines = path.read_text(encoding="utf-8").splitlines()
    commented = False
    for number, line in enumerate(lines, start=1):
        code, _, comment = line.partition("#")
        if not code.strip():
            commented = bool(comment.strip()) or (commented and not line.strip())
            continue
        is_text = re.match(r"\s*-? ?(hint|confirm|name|makes|label|plate):|\s+- [A-Z]|\s{6}\w", code)
        if re.search(r"\d", code) and not is_text:
            assert comment.strip() or commented, f"{path.name}:{number}: {line}"
        commented = commented and ":" in code and bool(re.match(r"\s*(temperatures|humidity)", code))


@pytest.mark.parametrize("stem", sorted(PROCESSES))
def test_the_usual_cautions_stand_where_they_are_needed(stem: str) -> None:
    """Ether, silver, the fixer on a glove, the varnish and the keyboard are each warned of at their step."""
    process = PROCESSES[stem]
    assert "keyboard" in cautions(process, "prepare")
    assert "ether" in cautions(process, "coat")
    assert "cadmium" in cautions(process, "coat")
    assert "goggles" in cautions(process, "sensitise")
    assert "eyewash" in cautions(process, "sensitise")
    assert "flame" in cautions(process, "warm")
    assert "waste" in cautions(process, "stop")
    assert "silver" in cautions(process, "wash")


@pytest.mark.parametrize("stem", PLAIN)
def test_fixer_on_a_glove_is_warned_of(stem: str) -> None:
    """With hypo, the glove that would spoil the silver bath is warned of at the fixer and at the pour."""
    assert "glove" in cautions(PROCESSES[stem], "fix")
    assert "glove" in cautions(PROCESSES[stem], "coat")


@pytest.mark.parametrize("stem", CYANIDE)
def test_cyanide_is_confirmed_rinsed_for_and_warned_of(stem: str) -> None:
    """The cyanide fixer is confirmed, follows a rinse no strike can shorten, and keeps no rule of hypo."""
    process = PROCESSES[stem]
    fix = process.stage("fix")
    assert fix.confirm is not None
    assert fix.holds == ("cyanide",)
    assert fix.clearing_factor is not None
    assert 1 < fix.clearing_factor < 2
    rinse = process.stages[process.index("fix") - 1]
    assert rinse.holds == ("water",)
    assert rinse.at_least is not None
    assert rinse.at_least >= 30
    for word in ("not alone", "closed dark box", "tray, sink or waste", "local law", "supplier"):
        assert word in cautions(process, "fix")


@pytest.mark.parametrize("stem", CYANIDE)
def test_water_before_and_after_cyanide_is_never_left_out(stem: str) -> None:
    """The rinse and every wash after cyanide are kept, and gloves are rinsed before acid is touched again."""
    process = PROCESSES[stem]
    fix = process.index("fix")
    kept = {place: rinses.protects(process.stages, place) for place in range(len(process.stages))}
    assert kept[fix - 1] == "keeps acid from the cyanide"
    assert kept[process.index("wash")] == "washes the cyanide out"
    assert [place for place in range(fix) if kept[place]] == [fix - 1]
    assert "gloves" in cautions(process, process.stages[fix + 1].name)


@pytest.mark.parametrize("stem", PLAIN)
def test_the_fixers_differ_in_nothing_before_the_developer_is_off(stem: str) -> None:
    """Up to the end of the developer, and from the drying on, a process is the same with either fixer."""
    hypo, cyanide = PROCESSES[stem], PROCESSES[f"{stem}-cyanide"]
    for one, other in ((hypo, cyanide), (cyanide, hypo)):
        assert one.stages[: one.index("stop")] == other.stages[: other.index("stop")]
        assert one.stages[one.index("dry") :] == other.stages[other.index("dry") :]
    assert hypo.wet_window == cyanide.wet_window
    assert hypo.temperatures == cyanide.temperatures
