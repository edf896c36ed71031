"""The shipped processes: right, complete, careful, and each number with its source."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from darkroom import resources
from darkroom.process.model import Process

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


@pytest.mark.parametrize("stem", sorted(PROCESSES))
def test_every_stage_fits_the_screen(stem: str) -> None:
    """Each stage has a hint that fits one line of the smallest screen and a name for the large lettering."""
    for stage in PROCESSES[stem].stages:
        assert stage.hint is not None
        assert len(stage.hint) <= 78
        assert 0 < len(stage.large) <= 9
        assert all(len(caution) <= 100 for caution in stage.cautions)


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


@pytest.mark.parametrize("stem", PLAIN)
def test_the_fixers_differ_in_nothing_before_the_developer_is_off(stem: str) -> None:
    """Up to the end of the developer, and from the drying on, a process is the same with either fixer."""
    hypo, cyanide = PROCESSES[stem], PROCESSES[f"{stem}-cyanide"]
    for one, other in ((hypo, cyanide), (cyanide, hypo)):
        assert one.stages[: one.index("stop")] == other.stages[: other.index("stop")]
        assert one.stages[one.index("dry") :] == other.stages[other.index("dry") :]
    assert hypo.wet_window == cyanide.wet_window
    assert hypo.temperatures == cyanide.temperatures
