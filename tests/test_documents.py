"""The documents are true: commands, keys and dependencies are in them, and made parts are fresh."""

from __future__ import annotations

import re
import sys
import threading
import tomllib
from pathlib import Path
from types import FrameType

import msgspec
import pytest

from darkroom.commands.bottle.group import COMMANDS as BOTTLE_COMMANDS
from darkroom.commands.exposure.group import COMMANDS as EXPOSURE_COMMANDS
from darkroom.commands.fault.group import COMMANDS as FAULT_COMMANDS
from darkroom.commands.groups import COMMANDS
from darkroom.devices.clock import Watch
from darkroom.faults import catalogue_file, cause_parts, fault_parts
from darkroom.log.journal.write import JournalWriter
from darkroom.process import model
from darkroom.process.file.profile import parse
from darkroom.resources import load_process
from darkroom.session.key_map import NUDGES, KeyMap
from darkroom.session.plate_form import PlateForm, plate_from
from darkroom.session.session import Session
from darkroom.session.strikes import Recogniser
from darkroom.settings.kit import KEYS as KIT_KEYS
from darkroom.solutions import recipe_file, recipe_parts
from darkroom.solutions.recipe import ANSWERS, MAKES
from tests.kit.clocks import HandClock
from tests.kit.command_line import Capture, run
from tests.kit.documents import ROOT, figure_table, made
from tests.kit.session import SilentVoice

README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_the_key_table_is_made_from_the_actions() -> None:
    """The README's key table is the one that the program would make now."""
    assert made(README) == README


@pytest.mark.parametrize("command", sorted(COMMANDS))
def test_every_command_is_in_the_readme(command: str) -> None:
    """A command that nobody can read of is not there."""
    assert f"darkroom {command}" in README


@pytest.mark.parametrize("command", sorted(EXPOSURE_COMMANDS))
def test_every_command_about_exposure_is_in_the_readme(command: str) -> None:
    """Each stands in the list of commands and in a sentence of its own, with its words in backquotes."""
    listed = next(line for line in README.splitlines() if line.startswith("darkroom exposure"))
    assert command in listed
    assert re.search(rf"`(darkroom exposure )?{command} [^`]+`", README)


@pytest.mark.parametrize("command", sorted(BOTTLE_COMMANDS))
def test_every_command_about_bottles_is_in_the_readme(command: str) -> None:
    """Each stands in the list of commands, and in the section about the book."""
    listed = README.split("darkroom bottle new WHAT")[1].split("the book of bottles")[0]
    assert command in ("new", *re.findall(r"[a-z-]+", listed))
    section = README.split("### The book of bottles")[1].split("\n### ")[0]
    assert re.search(rf"`(darkroom bottle )?{command}\b", " ".join(section.split()))


@pytest.mark.parametrize("key", sorted({*KIT_KEYS, *(key for keys in KIT_KEYS.values() for key in keys)}))
def test_every_key_of_the_kit_is_in_the_readme(key: str) -> None:
    """The kit that the README shows has every key that a kit may have."""
    shown = README.split("## Your kit")[1].split("```")[1]
    assert re.search(rf"\b{key}:", shown)


@pytest.mark.parametrize(
    "key",
    sorted(
        {
            field.encode_name
            for struct in (
                model.Process,
                model.Stage,
                model.Wash,
                model.WetWindow,
                model.Reference,
                model.Verbs,
                model.Hints,
                model.Repeat,
            )
            for field in msgspec.structs.fields(struct)
        }
    ),
)
def test_every_key_of_a_process_file_is_explained(key: str) -> None:
    """Each key that a process file may have stands in DEVELOPERS.md."""
    assert f"`{key}`" in DEVELOPERS


@pytest.mark.parametrize(
    "key",
    sorted(
        {*recipe_file.KEYS, *recipe_parts.INGREDIENT_KEYS, *recipe_parts.CARE_KEYS, *recipe_parts.DUE_KEYS}
    ),
)
def test_every_key_of_a_recipe_is_explained(key: str) -> None:
    """Each key that a recipe may have stands in its section of DEVELOPERS.md."""
    explained = DEVELOPERS.split("**A recipe**")[1].split("\n\n**")[0]
    assert f"`{key}`" in explained


def test_the_table_of_figures_is_made_from_the_closed_list() -> None:
    """The figures that a cause's evidence can be of stand in DEVELOPERS.md as the program has them now."""
    assert figure_table(DEVELOPERS) == DEVELOPERS


@pytest.mark.parametrize(
    "key",
    sorted(
        {
            *catalogue_file.KEYS, *catalogue_file.CAUSE_KEYS, *cause_parts.EVIDENCE_KEYS,
            *cause_parts.TEST_KEYS, *fault_parts.FAULT_KEYS, *fault_parts.ASK_KEYS,
        }
    ),
)  # fmt: skip
def test_every_key_of_a_file_of_faults_is_explained(key: str) -> None:
    """Each key that a file of faults may have stands in its section of DEVELOPERS.md."""
    explained = DEVELOPERS.split("**A fault or a cause**")[1].split("\n\n**")[0]
    assert f"`{key}`" in explained


@pytest.mark.parametrize("command", sorted(FAULT_COMMANDS))
def test_every_command_about_faults_is_in_the_readme(command: str) -> None:
    """Each stands in the list of commands, and in the section about faults."""
    listed = README.split("darkroom fault list")[1].split("what can be wrong")[0]
    assert command in ("list", *re.findall(r"[a-z-]+", listed))
    section_text = README.split("### Faults and their causes")[1].split("\n### ")[0]
    assert re.search(rf"`(darkroom )?fault {command}\b", " ".join(section_text.split()))


@pytest.mark.parametrize("word", [*MAKES, *ANSWERS])
def test_every_word_of_a_recipe_is_explained(word: str) -> None:
    """What a recipe can make, and what answers a care, are listed there."""
    explained = DEVELOPERS.split("**A recipe**")[1].split("\n\n**")[0]
    assert re.search(rf"\b{word}\b", explained)


def test_the_example_of_a_process_file_is_right() -> None:
    """The stages shown in DEVELOPERS.md, with an exposure between them, are a process without a mistake."""
    shown = section("How to add").split("```yaml\n")[1].split("```")[0]
    bath, developer = shown.split("  - name: develop")
    text = (
        "name: Shown\nwet_window: {from: sensitise, to: develop, time: 10 min, temperature: 20 °C, "
        "humidity: ordinary, longest: 20 min}\nstages:\n"
        f"{bath}  - {{name: expose, light: covered, ends: exposure}}\n  - name: develop{developer}"
        "  - {name: fix, light: white, ends: by_eye}\n"
    )
    shown_process = parse(text, "shown.yaml")
    shipped = load_process("tintype")
    for name in ("sensitise", "develop"):
        assert (shown_process.stage(name).hints, shown_process.stage(name).verb) == (
            shipped.stage(name).hints,
            shipped.stage(name).verb,
        )


def test_the_example_of_a_file_of_faults_is_right(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    """The check finds nothing wrong in the file that the README shows; its figure speaks both ways."""
    monkeypatch.setenv("DARKROOM_HOME", str(tmp_path))
    shown = README.split("### Faults and their causes")[1].split("```yaml\n")[1].split("```")[0]
    path = tmp_path / "ripples.yaml"
    path.write_text(shown, encoding="utf-8")
    status, out, err = run(capsys, "fault", "check", str(path))
    assert (status, out, err.splitlines()[0]) == (0, "", "1 right")
    (cause,) = catalogue_file.parse(shown, "ripples.yaml").causes
    assert [decibans for _, decibans in cause.evidence[0].points] == [5, -2]


def test_every_dependency_has_its_reason() -> None:
    """Each dependency stands in DEVELOPERS.md with its reason."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = [name for group in project["optional-dependencies"].values() for name in group]
    for wanted in (*project["dependencies"], *extras):
        name = wanted.split(">")[0].split("=")[0].split(";")[0].split("<")[0].strip()
        assert f"**{name}**" in DEVELOPERS, name


def test_the_readme_opens_with_the_job_and_shows_the_screen() -> None:
    """One paragraph states the job; the picture beside it exists and is red only."""
    first = README.split("\n\n")[1]
    assert first.startswith("darkroom is a full-screen terminal tool for photographers")
    picture = (ROOT / "tests" / "pictures" / "bench.svg").read_text(encoding="utf-8")
    colours = {part[:6] for part in picture.split('fill="#')[1:]}
    assert colours and all(colour[2:] == "0000" for colour in colours)


def section(heading: str) -> str:
    """Return a section of DEVELOPERS.md, from its heading to the next."""
    return DEVELOPERS.split(f"\n## {heading}", 1)[1].split("\n## ", 1)[0]


def files_named(text: str) -> list[str]:
    """Return the Python files that a text names in backquotes, in its order."""
    return re.findall(r"`((?:[a-z_0-9]+/)*[a-z_0-9]+\.py)`", text)


@pytest.mark.parametrize("name", sorted(set(files_named(DEVELOPERS))))
def test_every_file_that_the_document_names_is_there(name: str) -> None:
    """A file that DEVELOPERS.md names stands in the package or at the root."""
    assert (ROOT / "darkroom" / name).is_file() or (ROOT / name).is_file()


def test_the_plan_of_the_house_names_every_folder_of_the_package() -> None:
    """Each folder of the package, but for those of one screen or command, stands in the plan of the house."""
    plan = section("The house").split("```")[1]
    package = ROOT / "darkroom"
    for path in sorted(package.rglob("__init__.py")):
        folder = path.parent.relative_to(package)
        if folder.parts and not (folder.parts[0] in ("screens", "commands") and len(folder.parts) > 1):
            assert f"{folder.name}/" in plan, folder


def modules_run(home: Path) -> set[str]:
    """Return the files of the package that run while one strike is decided, saved and answered."""
    clock = HandClock()
    writer = JournalWriter(home, lambda report: None)
    keys = KeyMap()
    session = Session(
        clock=clock,
        watch=Watch(clock),
        writer=writer,
        voice=SilentVoice(),
        recogniser=Recogniser(keys.zone_of, nudge_zones=NUDGES),
        new_id=lambda wall: "20260301-120000-abc123",
        next_number=lambda bench: 1,
    )
    session.put_on(
        plate_from(
            PlateForm(process="clear-glass"),
            load_process("clear-glass"),
            number=1,
            bench="b",
            boot="boot",
            at=clock.stamp(clock.wall()),
            up=clock.up(),
            rehearsal=False,
            speed=None,
        )
    )
    package = str(ROOT / "darkroom")
    files: set[str] = set()

    def note(frame: FrameType, event: str, argument: object) -> None:
        if event == "call" and frame.f_code.co_filename.startswith(package):
            files.add(str(Path(frame.f_code.co_filename).relative_to(package)))

    threading.setprofile(note)
    sys.setprofile(note)
    try:
        session.key("space")
        clock.move(0.1)
        session.tick()
        assert writer.close(5)
    finally:
        sys.setprofile(None)
        threading.setprofile(None)  # type: ignore[arg-type]
    return files


def test_the_way_of_a_strike_is_the_one_that_it_takes(tmp_path: Path) -> None:
    """Every file that DEVELOPERS.md names between the key map and the disk runs when a key is struck."""
    steps = re.split(r"\n\d\. ", section("A strike"))
    named = {name for step in steps[2:7] for name in files_named(step)} | {"bench/cues.py"}
    assert len(named) >= 12
    not_run = named - modules_run(tmp_path)
    drawn_later = {"screens/bench/screen.py", "screens/app.py"}
    only_data = {"bench/intents.py", "bench/events.py", "bench/state.py"}
    assert not_run <= drawn_later | only_data
