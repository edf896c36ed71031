"""`darkroom log rate`: faults of the list, what they came from, what was answered, and nothing else."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from darkroom.faults.catalogue import NONE_OF_THESE
from darkroom.resources import fault_catalogue
from tests.kit.log_commands import Capture, journal, run_log

FAULTS = fault_catalogue()[0]
FOG = FAULTS.faults["general fog"]
QUESTION = FOG.asks[0].question
TESTED = next(FAULTS.causes[cause] for cause in FOG.causes if FAULTS.causes[cause].test is not None)
CAUSE = next(iter(FOG.causes))


@pytest.fixture
def bare(home: Path, plates: list[Path]) -> Path:
    """Return the journal of a plate without a judged fault, plate 1 or the first such one."""
    return next(path for path in plates if all(line["event"] != "fault" for line in journal(path)))


def rated(capsys: Capture, path: Path, *words: str) -> list[dict[str, Any]]:
    """Rate a plate; return the lines that were added."""
    before = len(journal(path))
    status, out, err = run_log(capsys, "rate", path.stem, *words)
    assert (status, out) == (0, ""), err
    return journal(path)[before:]


def refused(capsys: Capture, path: Path, *words: str) -> str:
    """Rate a plate in a way that is wrong use; return what is said. Nothing was written."""
    before = path.read_bytes()
    status, out, err = run_log(capsys, "rate", path.stem, *words)
    assert (status, out) == (2, "") and path.read_bytes() == before
    return err


def test_a_fault_of_the_list_has_its_name(capsys: Capture, bare: Path) -> None:
    """In any case it is written as the list has it, and nothing is remarked."""
    (line,) = rated(capsys, bare, "--fault", "General  FOG@left edge")
    assert (line["name"], line["where"]) == ("general fog", "left edge")
    assert "cause" not in line and "answers" not in line


def test_other_words_are_kept_with_a_remark(capsys: Capture, bare: Path) -> None:
    """They are written as typed; standard error says that they tell of no cause, with the nearest name."""
    status, _, err = run_log(capsys, "rate", bare.stem, "--fault", "genral fog", "--fault", "moonshine")
    assert status == 0
    assert [line["name"] for line in journal(bare)[-2:]] == ["genral fog", "moonshine"]
    assert "'genral fog' is not in darkroom fault list (did you mean 'general fog'?): kept as it is" in err
    assert "'moonshine' is not in darkroom fault list" in err


def test_cause_and_answers_go_with_the_fault(capsys: Capture, bare: Path) -> None:
    """One line has all of it: the cause by its id, the question as the list has it, the test's outcome."""
    assert TESTED.test is not None
    (line,) = rated(
        capsys, bare, "--fault", "general fog", "--cause", CAUSE.upper(),
        "--answer", f"{QUESTION}=Yes", "--answer", f"{TESTED.test.do}=no",
    )  # fmt: skip
    assert line["cause"] == CAUSE
    assert line["answers"] == {QUESTION: "yes", TESTED.test.do: "absent"}


def test_a_question_is_known_by_some_of_its_words(capsys: Capture, bare: Path) -> None:
    """Words that only one question has name it; what names none, or several, lists what is asked."""
    words = QUESTION.rstrip("?")[-14:]
    (line,) = rated(capsys, bare, "--fault", "general fog", "--answer", f"{words}=no")
    assert line["answers"] == {QUESTION: "no"}
    err = refused(capsys, bare, "--fault", "general fog@edge", "--answer", "the moon=no")
    assert "no such question" in err and QUESTION in err
    err = refused(capsys, bare, "--fault", "general fog@edge", "--answer", "edge=no")
    meant = err.splitlines()[1:]
    assert "which question?" in err and f"  {QUESTION} (yes or no)" in meant
    assert len(meant) > 1 and all("edge" in line for line in meant)


def test_a_cause_that_is_found_later_corrects_the_fault_s_line(capsys: Capture, bare: Path) -> None:
    """Of the plate's only fault it needs no name; place and answers stay, and the next answer keeps it."""
    (first,) = rated(capsys, bare, "--fault", "general fog@all over", "--answer", f"{QUESTION}=yes")
    (second,) = rated(capsys, bare, "--cause", CAUSE)
    assert (second["corrects"], second["where"], second["cause"]) == (first["n"], "all over", CAUSE)
    assert second["answers"] == {QUESTION: "yes"}
    (third,) = rated(capsys, bare, "--fault", "general fog", "--answer", f"{QUESTION}=no", "--reason", "dry")
    assert (third["corrects"], third["cause"], third["reason"]) == (second["n"], CAUSE, "dry")
    assert third["answers"] == {QUESTION: "no"}


def test_with_other_values_both_are_written(capsys: Capture, bare: Path) -> None:
    """Stars and a cause of the fault that stands: a correction and a rating, in one go."""
    (first,) = rated(capsys, bare, "--fault", "general fog")
    lines = rated(capsys, bare, "--cause", CAUSE, "--stars", "2")
    assert [(line["event"], line.get("corrects")) for line in lines] == [
        ("fault", first["n"]),
        ("rating", None),
    ]
    assert [line["n"] for line in lines] == [first["n"] + 1, first["n"] + 2]


def test_a_cause_is_of_the_fault_in_every_place(capsys: Capture, bare: Path) -> None:
    """Two places of one fault: a cause without a place is of both; --corrects or the place chooses one."""
    first, second = rated(capsys, bare, "--fault", "general fog@edge", "--fault", "general fog@corner")
    both = rated(capsys, bare, "--cause", CAUSE)
    assert [(line["corrects"], line["where"], line["cause"]) for line in both] == [
        (first["n"], "edge", CAUSE),
        (second["n"], "corner", CAUSE),
    ]
    other = [cause for cause in FOG.causes if cause != CAUSE]
    (line,) = rated(capsys, bare, "--corrects", str(both[0]["n"]), "--cause", other[0])
    assert (line["corrects"], line["where"]) == (both[0]["n"], "edge")
    (line,) = rated(capsys, bare, "--fault", "general fog@corner", "--cause", other[1])
    assert line["corrects"] == both[1]["n"]


def test_a_cause_of_one_of_two_faults_names_it(capsys: Capture, bare: Path) -> None:
    """Which of two different faults a cause is of is asked, with their lines."""
    first, second = rated(capsys, bare, "--fault", "general fog@edge", "--fault", "pinholes")
    err = refused(capsys, bare, "--cause", CAUSE)
    assert f"{first['n']} (general fog (edge)), {second['n']} (pinholes)" in err


def test_a_fault_that_stands_is_not_marked_twice(capsys: Capture, bare: Path) -> None:
    """Marked again it is told where it stands, and nothing is written, whether or not a place is named."""
    (first,) = rated(capsys, bare, "--fault", "general fog@edge")
    before = bare.read_bytes()
    number = journal(bare)[0]["number"]
    for words in (["General Fog"], ["general fog@edge"], ["general fog", "--reason", "seen again"]):
        status, out, err = run_log(capsys, "rate", bare.stem, "--fault", *words)
        assert (status, out) == (0, "")
        assert err == f"plate {number} has general fog (edge) already (line {first['n']})\n"
    assert bare.read_bytes() == before
    (line,) = rated(capsys, bare, "--fault", "general fog", "--stars", "2")
    assert line["event"] == "rating"
    rated(capsys, bare, "--cause", CAUSE)
    assert rated(capsys, bare, "--cause", CAUSE) == []


def test_a_place_is_added_to_the_line_without_one(capsys: Capture, bare: Path) -> None:
    """It corrects that line and keeps what was answered; the next other place is a line of its own."""
    (first,) = rated(capsys, bare, "--fault", "general fog", "--answer", f"{QUESTION}=yes")
    one, two = rated(capsys, bare, "--fault", "general fog@edge", "--fault", "general fog@corner")
    assert (one["corrects"], one["where"], one["answers"]) == (first["n"], "edge", {QUESTION: "yes"})
    assert ("corrects" in two, two["where"]) == (False, "corner")
    (three,) = rated(capsys, bare, "--fault", "general fog@centre")
    assert ("corrects" in three, three["where"]) == (False, "centre")


def test_the_whole_question_and_answer_are_told(capsys: Capture, bare: Path) -> None:
    """Some words of a question were typed: what was taken from them is said."""
    words = QUESTION.rstrip("?")[-14:]
    err = run_log(capsys, "rate", bare.stem, "--fault", "general fog", "--answer", f"{words}=YES")[2]
    assert f"general fog: {QUESTION} yes" in err.splitlines()


def test_a_corrected_place_keeps_the_cause_and_another_fault_does_not(capsys: Capture, bare: Path) -> None:
    """The same fault at another place is what it was; another fault was never said to come from that."""
    (first,) = rated(capsys, bare, "--fault", "general fog@edge", "--cause", CAUSE)
    (moved,) = rated(capsys, bare, "--corrects", str(first["n"]), "--fault", "general fog@centre")
    assert (moved["where"], moved["cause"]) == ("centre", CAUSE)
    (other,) = rated(capsys, bare, "--corrects", str(moved["n"]), "--fault", "pinholes")
    assert (other["name"], "cause" in other, "where" in other) == ("pinholes", False, False)


def test_nothing_else_is_the_list_as_it_stands(capsys: Capture, home: Path, bare: Path) -> None:
    """All faults are written by their ids, one's own too: a fault that comes later was not looked for."""
    own = home / "profiles" / "faults"
    own.mkdir(parents=True)
    (own / "mine.yaml").write_text(
        "faults:\n  green moon:\n    looks: a moon that is green\n    unexplained: 0.01\n"
        f"    causes: {{{CAUSE}: 0.3}}\n    source: own plates\n",
        encoding="utf-8",
    )
    (line,) = rated(capsys, bare, "--nothing-else")
    assert line["event"] == "rating"
    assert line["nothing_else"] == [*FAULTS.faults, "green moon"]
    (line,) = rated(capsys, bare, "--stars", "3")
    assert "nothing_else" not in line


def test_none_of_these_is_a_cause(capsys: Capture, bare: Path) -> None:
    """That it was none of the list's causes can be said."""
    (line,) = rated(capsys, bare, "--fault", "general fog", "--cause", "None of  these")
    assert line["cause"] == NONE_OF_THESE


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--fault", "general fog", "--cause", CAUSE[:-1]), f"--cause: there is no cause '{CAUSE[:-1]}'"),
        (("--cause", CAUSE), "the plate has no fault yet"),
        (("--corrects", "1", "--cause", CAUSE), "line 1 is no fault that stands"),
        (("--fault", "comets", "--fault", "pinholes", "--cause", CAUSE), "go with one --fault"),
        (("--fault", "general fog", "--answer", f"{QUESTION}=perhaps"), "'perhaps' is no answer to"),
        (("--fault", "general fog", "--answer", "yes"), "not of the form QUESTION=ANSWER"),
        (("--fault", "moonshine", "--answer", "x=yes"), "nothing is asked of it"),
        (("--fault", "@edge"), "not of the form NAME or NAME@WHERE"),
        (("--reason", "by daylight"), "--reason goes with --corrects"),
    ],
)
def test_what_is_wrong_is_one_clear_refusal(
    capsys: Capture, bare: Path, words: tuple[str, ...], said: str
) -> None:
    """Wrong use, exit 2, the nearest right name, and nothing is written."""
    assert said in refused(capsys, bare, *words)


def test_a_cause_that_the_list_does_not_link_is_remarked(capsys: Capture, bare: Path) -> None:
    """It is the photographer's own finding, so it is kept."""
    other = next(cause for cause in FAULTS.causes if cause not in FOG.causes)
    status, _, err = run_log(capsys, "rate", bare.stem, "--fault", "general fog", "--cause", other)
    assert (status, journal(bare)[-1]["cause"]) == (0, other)
    assert f"the list has no '{other}' among the causes of 'general fog': noted all the same" in err


def test_the_account_tells_cause_and_answers(capsys: Capture, bare: Path) -> None:
    """`log show` has them in words, and that there is nothing else."""
    rated(capsys, bare, "--fault", "general fog", "--cause", CAUSE, "--answer", f"{QUESTION}=yes")
    rated(capsys, bare, "--nothing-else")
    out = run_log(capsys, "show", bare.stem)[1]
    assert f"fault: general fog; cause: {CAUSE}; {QUESTION} yes" in out
    assert "  nothing else" in out or ", nothing else" in out or "nothing else," in out
