"""One wrong process file for each mistake, with the phrase that tells it and its line."""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom import resources
from darkroom.errors import NotReadable, ProcessError
from darkroom.process.file.profile import parse

FOLDER = Path(__file__).parents[2] / "invalid"
LARGEST = 256 * 1024

# (file, line of the mistake or None, phrase)
MISTAKES: list[tuple[str, int | None, str]] = [
    ("acid-after-cyanide", 45, "acid after cyanide"),
    ("acid-after-optional-water", 50, "acid after cyanide"),
    ("acid-before-cyanide", 40, "acid before cyanide"),
    ("alias-bomb", 1, "an alias (*a): write it out"),
    ("anchor", 23, "an anchor (&short)"),
    ("at-least-above-reference", 31, "longer than the time of the stage, 15 s at its shortest"),
    ("at-least-above-table", 17, "longer than the time of the stage, 2 min 45 s at its shortest"),
    ("at-least-above-wash", 46, "longer than the time of the stage, 4 min at its shortest"),
    ("at-least-on-exposure", 23, "an exposure can always be ended"),
    ("at-least-too-long", 30, "longer than the time of the stage"),
    ("bad-yaml", 10, "not YAML"),
    ("binary", 1, "a binary file, not text"),
    ("caution-colon-unquoted", 31, "a text with a colon in it needs quotation marks"),
    ("coefficient-absurd", 29, "a temperature coefficient between 1 and 10"),
    ("colon-in-text", 31, "a text with a colon in it needs quotation marks"),
    ("control-character", 31, "a control character (U+0007)"),
    ("covered-apart", 33, "covered only on 'sensitise'"),
    ("covered-developer", 25, "covered cannot be"),
    ("cyanide-rinse-optional", 42, "acid before cyanide"),
    ("cyanide-twice-the-time", 39, "twice the time is a rule for hypo"),
    ("cyanide-with-acid", 41, "in one stage"),
    ("cyanide-without-rinse", 39, "cyanide must follow a stage that holds water"),
    ("duplicate-key", 7, "the key 'light' stands twice, first on line 6"),
    ("early-by-eye", 20, "a stage that ends by_eye is never asked before its time"),
    ("early-word", 31, "'freely' is none of: free, ask (did you mean 'free'?)"),
    ("empty", None, "the file is empty"),
    ("ether-with-flame", 9, "its vapour creeps to the flame"),
    ("exposure-in-room-light", 12, "the exposure lies where the plate is not sensitive"),
    ("factor-absurd", 40, "a clearing factor between 1 and 50"),
    ("factor-by-eye", 8, "only a stage that ends cleared"),
    ("hint-braces-unquoted", 31, "a text with , : ? { } in it needs quotation marks"),
    (
        "hint-colon-unquoted",
        31,
        "stages[5].hint.due: not YAML: did not find expected ',' or '}' (between { }",
    ),
    ("hint-comma-unquoted", 31, "stages[5].hint.due: 'then press.' has no value: between { } a text with ,"),
    ("hint-moment-empty", 31, "stages[5].hint.running: nothing is written here"),
    ("hint-no-moment", 31, "a mapping of ready, running and due"),
    ("hint-question-unquoted", 31, "a text with , : ? { } in it needs quotation marks"),
    ("hint-two-lines", 31, "must be one line"),
    ("hint-unknown-moment", 31, "unknown moment 'runing' (did you mean 'running'?)"),
    ("holds-plates-half", 17, "'1.5' is no whole number"),
    ("uses-unknown-role", 32, "(did you mean 'developer'?)"),
    ("uses-on-exposure", 24, "an exposure uses no bottle"),
    ("holds-plates-none", 17, "a number of plates between 1 and 50"),
    ("humidity-without-unit", 3, "'50' has no unit"),
    ("key-no-word", 2, "a key must be a word"),
    ("label-emoji", 31, "an emoji (U+1F4F7)"),
    ("label-escape", 31, "a character that cannot be shown (U+001B)"),
    ("label-turned", 31, "a character that cannot be shown (U+202E)"),
    ("latin-1", 2, "not UTF-8 text"),
    ("limits-turned", 15, "the lower value stands after the upper one"),
    ("limits-without-temperature", 14, "so 'at' must say whose"),
    ("missing-stage", 4, "there is no stage 'fix'"),
    ("name-with-comma", 17, "a name holds no comma"),
    ("nested-too-deep", 1, "nested deeper than 12 levels"),
    ("no-name", 1, "the key 'name' is missing"),
    ("no-stages", 1, "the key 'stages' is missing"),
    ("no-time", 26, "needs a 'time' or a 'wash'"),
    ("nothing-written", 31, "nothing is written here"),
    ("only-comment", None, "the file is empty"),
    ("optional-word", 27, "neither true nor false"),
    ("patience-by-eye", 8, "no overrun to be patient with"),
    ("rack-while-sensitive", 18, "a sensitive plate cannot go to the rack"),
    ("range-of-one", 8, "expected two values"),
    ("range-turned", 8, "the lower value stands after the upper one"),
    ("reference-half", 29, "the key 'coefficient' is missing"),
    ("repeat-half", 31, "the key 'verb' is missing"),
    ("repeat-too-often", 31, "'4 s' is too short: times lie between 5 s"),
    ("repeat-verb-long", 31, "at most 9 fit"),
    ("repeat-without-unit", 31, "'10' has no unit"),
    ("root-list", 1, "expected a mapping, found a list"),
    ("root-text", 1, "expected a mapping, found a single value"),
    ("sensitive-nowhere", 4, "there is no stage 'senstise' (did you mean 'sensitise'?)"),
    ("sensitive-optional", 38, "never optional"),
    ("sensitive-turned", 4, "'sensitise' does not come after 'fix'"),
    ("short-too-long", 31, "at most 9 fit the large lettering"),
    ("stage-twice", 17, "the stage 'coat' is named twice"),
    ("stage-without-ends", 17, "the key 'ends' is missing"),
    ("stage-without-light", 5, "the key 'light' is missing"),
    ("stages-empty", 2, "at least one stage"),
    ("stages-mapping", 2, "expected a list, found a mapping"),
    ("starts-against-lead-in", 28, "wait for a press"),
    ("tab", 7, "a tab: indent with spaces"),
    ("table-not-sorted", 14, "the table is not sorted"),
    ("table-one-row", 14, "at least two temperatures"),
    ("table-without-unit", 14, "'20' has no unit"),
    ("tag", 23, "a tag (!seconds)"),
    ("temperature-absurd", 2, "is absurd"),
    ("temperature-without-unit", 2, "'20' has no unit"),
    ("time-absurd", 23, "is too long"),
    ("time-by-eye", 8, "no 'time'; its usual range is 'expect'"),
    ("time-exponent", 23, "has an exponent"),
    ("time-infinite", 23, "not a finite number"),
    ("time-list", 14, "a list is no time"),
    ("time-negative", 23, "is negative"),
    ("time-not-a-number", 23, "not a finite number"),
    ("time-tiny", 23, "is too short"),
    ("time-without-temperature", 28, "so 'at' must say whose"),
    ("time-without-unit", 29, "'15' has no unit"),
    ("too-many-stages", 4, "at most 60 stages"),
    ("two-documents", 46, "several documents: one file holds one"),
    ("two-exposures", 22, "at most one exposure"),
    ("unknown-ends", 12, "(did you mean 'on_time'?)"),
    ("unknown-holds", 16, "(did you mean 'silver'?)"),
    ("unknown-key", 31, "unknown key 'hintt' (did you mean 'hint'?)"),
    ("unknown-light", 11, "'amber' is none of: white, red, covered"),
    ("unknown-liquid", 2, "(did you mean 'developer'?)"),
    ("unknown-source", 13, "(did you mean 'bath'?)"),
    ("unknown-top-key", 4, "unknown key 'stagess' (did you mean 'stages'?)"),
    ("verb-list", 31, "a verb is a mapping, as {due: lift}"),
    ("verb-too-long", 31, "'water it well' has 13 letters: at most 9 fit"),
    ("verb-unknown-moment", 31, "unknown moment 'leadin' (did you mean 'lead_in'?)"),
    ("verb-without-lead-in", 17, "a stage without a lead-in has no verb at its end"),
    ("verb-word", 31, "a verb is a mapping, as {due: lift}"),
    ("wash-both", 45, "not both"),
    ("wash-endless", 45, "more than 24 h"),
    ("wash-half", 45, "the key 'change' is missing"),
    ("wash-limit", 45, "the limit must lie below the start"),
    ("wash-mixed", 45, "not both"),
    ("wash-open-ounce", 45, "leaves open which"),
    ("wash-unit", 45, "has no unit: expected a volume"),
    ("wet-window-damp", 3, "nothing dries"),
    ("wet-window-half", 3, "the key 'longest' is missing"),
    ("wet-window-nowhere", 3, "there is no stage 'develope' (did you mean 'develop'?)"),
    ("wet-window-short", 3, "shorter than the time of the wet window"),
    ("wet-window-turned", 3, "before it begins"),
    ("white-on-sensitive", 18, "white light on a sensitive plate"),
]


@pytest.mark.parametrize(("name", "line", "phrase"), MISTAKES, ids=[name for name, _, _ in MISTAKES])
def test_each_mistake_is_told_with_file_line_and_phrase(name: str, line: int | None, phrase: str) -> None:
    """A wrong file is refused with its name, the line of the mistake and what is wrong."""
    path = FOLDER / f"{name}.yaml"
    with pytest.raises(ProcessError) as caught:
        parse(path.read_bytes(), path.name)
    assert line == caught.value.problems[0].line
    telling = [str(problem) for problem in caught.value.problems if phrase in str(problem)]
    assert telling
    assert all(text.startswith(f"{path.name}:") for text in telling)


@pytest.mark.parametrize("name", [name for name, _, _ in MISTAKES if name != "alias-bomb"])
def test_one_mistake_brings_one_problem(name: str) -> None:
    """A file with one mistake brings one problem, not a cascade."""
    with pytest.raises(ProcessError) as caught:
        parse((FOLDER / f"{name}.yaml").read_bytes(), name)
    assert len(caught.value.problems) == 1


def test_every_wrong_file_is_in_the_table() -> None:
    """The folder of wrong files and the table of mistakes name the same files, and at least thirty."""
    assert {name for name, _, _ in MISTAKES} == {path.stem for path in FOLDER.glob("*.yaml")}
    assert len(MISTAKES) >= 30


def test_a_huge_file_is_refused_unread() -> None:
    """A file over 256 kB is refused by its size alone, however right its text."""
    right = (resources.profiles_dir() / "tintype.yaml").read_bytes()
    padded = right + b"\n# " + b"." * LARGEST
    with pytest.raises(ProcessError, match="too large: a file holds at most 256 kB"):
        parse(padded, "huge.yaml")
    fits = right + b"\n#" + b"." * (LARGEST - len(right) - 2)
    assert parse(fits, "large.yaml").name == "Tintype"


def test_a_folder_is_not_a_process_file(tmp_path: Path) -> None:
    """A folder in the place of a file is a wrong path, not a wrong content."""
    with pytest.raises(NotReadable, match="is a folder") as caught:
        resources.load_process(f"{tmp_path}/")
    assert caught.value.exit_status == 2


def test_all_mistakes_of_a_file_are_told_at_once_and_by_line() -> None:
    """Several mistakes in one file are all told, in the order of their lines."""
    text = (FOLDER / "unknown-key.yaml").read_text().replace("is: 15 s", "is: 15")
    text = text.replace("name: drain\n    light: red", "name: drain\n    light: white")
    text = text.replace("lag: 2 min", "lag: two")
    with pytest.raises(ProcessError) as caught:
        parse(text, "many.yaml")
    lines = [problem.line for problem in caught.value.problems]
    assert len(lines) == 4
    assert lines == sorted(lines, key=lambda line: line or 0)


def test_a_flood_of_mistakes_is_cut_short_and_counted() -> None:
    """A file full of mistakes brings a list one can read, and the number of the rest."""
    text = "name: flood\n" + "".join(f"key{number}: x\n" for number in range(1000))
    with pytest.raises(ProcessError) as caught:
        parse(text, "flood.yaml")
    assert len(caught.value.problems) <= 201
    assert "more problems" in str(caught.value.problems[-1])
