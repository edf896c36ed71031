"""What is told of a plate that failed, line by line."""

from __future__ import annotations

import msgspec
import pytest

from darkroom.faults.answer import Advice, Began, FaultTally, Likely, Weighed, Why
from darkroom.faults.catalogue import Ask, Catalogue
from darkroom.faults.history import MarkedFault
from darkroom.faults.since_words import began_text
from darkroom.faults.words import LONGEST_WORDS, chance_text, home_advice, lines, strength_text
from tests.kit.small_faults import catalogue, cause, fault

EDGE = "Is the veil under the holder's edge too?"
FOG = catalogue(
    [cause("warm developer", 0.06, label="developer too warm")],
    [
        fault(
            "general fog",
            0.01,
            {"warm developer": 0.4},
            label="general fog",
            asks=(Ask(question=EDGE, answers={"yes": {"warm developer": 4.0}, "no": {}}),),
        )
    ],
)
WARM = Likely(
    cause="warm developer",
    label="developer too warm",
    chance=0.66,
    evidence=(
        Weighed(of="developer over usual", says="developer +6.0 °C against your usual", decibans=8.0),
        Weighed(of="developer age", says="developer 2 days old", decibans=-2.0),
        Weighed(of="humidity", says="the air at 50 %", decibans=0.4),
    ),
    silent=("first seen",),
    confirmed=3,
)
CHANGE = Advice(
    kind="change",
    do="Cool the developer to your usual temperature.",
    cause="warm developer",
    cautions=("Ice stays outside the bottle.",),
)
BEGAN = Began(
    fault="general fog",
    plate="p31",
    number=31,
    day="2026-05-14",
    plates=2,
    after=30,
    new=("developer D-4", "bath topped up"),
)
PLATE = Why(
    plate="p32",
    number=32,
    faults=(MarkedFault(name="general fog", where="edges"), MarkedFault(name="a green\x1b[31m veil")),
    unknown=("a green\x1b[31m veil",),
    causes=(WARM,),
    none=0.11,
    advice=CHANGE,
    began=(BEGAN,),
    tallies=(
        FaultTally(fault="general fog", kind="developer", name="D-4", having=2, lacking=0),
        FaultTally(fault="general fog", kind="holder", name="holder 2", having=2, lacking=3),
        FaultTally(fault="general fog", kind="developer", name="D-3", having=0, lacking=30),
    ),
    usual_plates=20,
)


def test_the_whole_answer_in_its_order() -> None:
    """Since when, tallies, the cause with what speaks for and against, what is missing, one advice."""
    assert [(line.kind, line.text, line.strength) for line in lines(PLATE, FOG)] == [
        ("fault", "general fog, edges", ""),
        (
            "began",
            "First with plate 31 of 14 May, 2 judged plates in a row; new since plate 30: developer D-4, "
            "bath topped up.",
            "",
        ),
        ("tally", "developer: D-4 2 with, 0 without; D-3 0 with, 30 without", ""),
        ("tally", "holder: holder 2 2 with, 3 without", ""),
        ("cause", "developer too warm", "about 65 %"),
        ("for", "developer +6.0 °C against your usual", "strongly"),
        ("against", "developer 2 days old", "a little"),
        ("neither", "the air at 50 %", "says little"),
        ("silent", "not recorded: how soon the image showed", ""),
        ("confirmed", "confirmed on 3 of your plates", ""),
        ("none", "none of these", "about 10 %"),
        ("unanswered", f"not answered: {EDGE}", ""),
        ("advice", "Change one thing: cool the developer to your usual temperature.", ""),
        ("caution", "Ice stays outside the bottle.", ""),
        ("unknown", "not in the catalogue: a green�[31m veil", ""),
    ]


def test_tallies_name_a_role_as_the_rest_of_the_tool_does() -> None:
    """A second fixer is called so, not by the name that its role has in a file."""
    row = FaultTally(fault="general fog", kind="fixer_2", name="F-2", having=4, lacking=1)
    told = [line.text for line in lines(msgspec.structs.replace(PLATE, tallies=(row,)), FOG)]
    assert "second fixer: F-2 4 with, 1 without" in told


@pytest.mark.parametrize(
    ("chance", "text"),
    [
        (0.0, "under 5 %"), (0.049, "under 5 %"), (0.05, "about 5 %"), (0.074, "about 5 %"),
        (0.076, "about 10 %"), (0.66, "about 65 %"), (0.68, "about 70 %"), (0.95, "about 95 %"),
        (0.96, "over 95 %"), (1.0, "over 95 %"),
    ],
)  # fmt: skip
def test_chances_are_rounded_to_five(chance: float, text: str) -> None:
    """No chance is told finer than the weights are, none as certain or impossible."""
    assert chance_text(chance) == text


@pytest.mark.parametrize(
    ("decibans", "text"),
    [(0.9, "says little"), (-1.0, "a little"), (3.0, "a little"), (3.1, ""), (-7.0, ""), (7.1, "strongly")],
)
def test_weights_are_told_in_words(decibans: float, text: str) -> None:
    """Under 1 deciban it says little, to 3 a little, to 7 plain, beyond strongly."""
    assert strength_text(decibans) == text


def test_at_most_four_causes_are_told_and_none_below_five_per_cent() -> None:
    """The likeliest is told always; where some are left out, the last line speaks of the catalogue."""
    many = tuple(Likely(cause=f"c{n}", label=f"cause {n}", chance=chance) for n, chance in enumerate(
        (0.4, 0.2, 0.1, 0.06, 0.055, 0.01)))  # fmt: skip
    told = lines(Why(plate="p", number=1, faults=PLATE.faults[:1], causes=many, none=0.1), FOG)
    assert [line.text for line in told if line.kind == "cause"] == [f"cause {n}" for n in range(4)]
    assert [line.text for line in told if line.kind == "none"] == ["no cause of the catalogue"]
    little = lines(Why(plate="p", number=1, faults=PLATE.faults[:1], causes=many[5:], none=0.98), FOG)
    assert [(line.text, line.strength) for line in little if line.kind == "cause"] == [
        ("cause 5", "under 5 %")
    ]


def test_too_few_plates_for_a_usual_is_said_where_a_usual_is_missing() -> None:
    """It is said only if a cause that is told has a figure against the usual that is not recorded."""
    silent = Likely(cause="warm developer", label="", chance=0.5, silent=("developer over usual",))
    plate = Why(plate="p", number=4, faults=PLATE.faults[:1], causes=(silent,), none=0.2, usual_plates=3)
    said = [line.text for line in lines(plate, FOG) if line.kind == "usual"]
    assert said == ["Too few plates of this process for what is usual: 3 plates before, 5 are needed."]
    assert [line for line in lines(PLATE, FOG) if line.kind == "usual"] == []


def test_where_a_fault_came_from_is_told_for_each_kind_of_beginning() -> None:
    """From the first plate on, with nothing new, with one plate alone, after plates that had it before."""
    first = Began(fault="general fog", plate="p1", number=1, day="2026-05-14", plates=1)
    assert began_text(first) == "already on the first judged plate (1, 14 May)"
    alone = Began(fault="general fog", plate="p9", number=9, day="not a day", plates=1, after=8)
    assert began_text(alone) == "first with plate 9 of not a day; nothing is noted as new since plate 8"
    again = msgspec.structs.replace(alone, day="2026-05-14", had_before=3)
    nothing = "nothing is noted as new since plate 8"
    assert began_text(again) == f"after 3 earlier plates, again with plate 9 of 14 May; {nothing}"
    once = msgspec.structs.replace(again, had_before=1)
    returned = msgspec.structs.replace(alone, day="2026-05-14", back=("developer D-3",))
    assert began_text(returned) == "first with plate 9 of 14 May; back to developer D-3 since plate 8"
    both = msgspec.structs.replace(returned, new=("bath topped up",))
    assert began_text(both).endswith("new since plate 8: bath topped up; back to developer D-3")
    assert began_text(once) == f"after an earlier plate, again with plate 9 of 14 May; {nothing}"


def test_a_test_and_a_note_are_told_as_such() -> None:
    """A test is called one; a note is a sentence of its own."""
    test = Why(plate="p", number=1, advice=Advice(kind="test", do="Dip blue litmus in the bath."))
    note = Why(plate="p", number=1, advice=Advice(kind="note", do="Next time, press at each step."))
    assert [line.text for line in lines(test, FOG)] == [
        "Test first: dip blue litmus in the bath. Then note in the judging form: shown or absent."
    ]
    assert [line.text for line in lines(note, FOG)] == ["Next time, press at each step."]


def test_a_cause_confirmed_for_this_plate_is_told_with_its_fault() -> None:
    """The photographer's own word stands before the causes, by the label of the cause."""
    marked = MarkedFault(name="general fog", cause="warm developer", answers={EDGE: "yes"})
    told = lines(Why(plate="p", number=1, faults=(marked,)), FOG)
    assert [line.text for line in told] == ["general fog", "You confirmed: developer too warm."]


def test_very_long_words_of_a_journal_are_told_in_short() -> None:
    """What a hand wrote into a journal, a megabyte of it too, takes a line: a screen lays it out at once."""
    long = "words " * 200_000
    marks = (MarkedFault(name="general fog", where=long, cause=long), MarkedFault(name=long))
    told = lines(msgspec.structs.replace(PLATE, faults=marks, unknown=(long,)), FOG)
    user = [line for line in told if "words words" in line.text]
    assert {line.kind for line in user} == {"fault", "confirmed", "unknown"}
    assert all(len(line.text) <= LONGEST_WORDS + 40 and "…" in line.text for line in user)


def test_a_confirmed_cause_stands_first_and_the_advice_says_so() -> None:
    """However unlikely by the record, what the photographer confirmed is told, and why it is advised."""
    known = catalogue(
        [cause(f"c{n}", 0.02, label=f"cause {n}") for n in range(6)],
        [fault("fog", 0.01, {f"c{n}": 0.4 for n in range(6)}), fault("pits", 0.01, {"c0": 0.4, "c4": 0.3})],
    )
    likely = tuple(
        Likely(cause=f"c{n}", label=f"cause {n}", chance=chance)
        for n, chance in enumerate((0.5, 0.3, 0.2, 0.1, 0.06, 0.01))
    )
    mark = MarkedFault(name="fog", cause="cause 5")
    advice = Advice(kind="change", do="Take another.", cause="c5")
    plate = Why(plate="p", number=1, faults=(mark,), causes=likely, none=0.1, advice=advice)
    told = lines(plate, known)
    assert [(line.text, line.strength) for line in told if line.kind == "cause"] == [
        ("cause 5 (you confirmed it)", "under 5 %"),
        ("cause 0", "about 50 %"),
        ("cause 1", "about 30 %"),
        ("cause 2", "about 20 %"),
    ]
    assert "Change one thing (you confirmed cause 5): take another." in [line.text for line in told]
    two = msgspec.structs.replace(plate, faults=(mark, MarkedFault(name="pits")))
    texts = [line.text for line in lines(two, known)]
    assert "cause 5 (you confirmed it of fog)" in texts
    assert "Change one thing (you confirmed cause 5 of fog): take another." in texts


def test_of_two_faults_the_advice_says_which_it_is_for() -> None:
    """A cause of one of them is advised for that one; a cause of both is advised as ever."""
    known = catalogue(
        [cause("c0", 0.02), cause("c1", 0.02)],
        [fault("fog", 0.01, {"c0": 0.4, "c1": 0.4}), fault("pits", 0.01, {"c0": 0.4})],
    )
    marks = (MarkedFault(name="fog"), MarkedFault(name="pits"))
    for name, text in (("c1", "Test first (for fog): try it"), ("c0", "Test first: try it")):
        advice = Advice(kind="test", do="Try it.", cause=name)
        told = lines(Why(plate="p", number=1, faults=marks, advice=advice), known)
        assert told[-1].text == f"{text}. Then note in the judging form: shown or absent."


def test_chances_that_add_to_more_than_all_are_explained() -> None:
    """Two causes of 60 % each are no mistake: both may be at work."""
    text = "More than one may be at work at once."
    for second, shown in ((0.6, True), (0.3, False)):
        causes = tuple(
            Likely(cause=name, label=name, chance=chance) for name, chance in (("a", 0.6), ("b", second))
        )
        told = lines(Why(plate="p", number=1, faults=PLATE.faults[:1], causes=causes, none=0.1), FOG)
        assert (text in [line.text for line in told]) is shown


def test_a_plate_without_a_fault_has_nothing_told() -> None:
    """No fault, no line and no advice at home."""
    assert lines(Why(plate="p", number=1), FOG) == []
    assert home_advice(Why(plate="p", number=1), FOG) == ""


def test_at_home_one_sentence_says_since_when_and_what_to_do() -> None:
    """Before the next plate: the plate with which it began, the fault, the change, test or note."""
    assert (
        home_advice(PLATE, FOG)
        == "since plate 31: general fog; cool the developer to your usual temperature "
        "(cautions: darkroom fault why 32)"
    )
    litmus = Why(
        plate="p",
        number=7,
        faults=PLATE.faults[:1],
        advice=Advice(kind="test", do="Dip blue litmus in the bath."),
    )
    assert home_advice(litmus, FOG) == "since plate 7: general fog; test first: dip blue litmus in the bath"


def test_at_home_the_faults_are_named_that_the_advice_is_for() -> None:
    """Of two faults the one that the cause is linked to is named, since it began; a note is for both."""
    both = catalogue(
        FOG.causes.values(), [*FOG.faults.values(), fault("finger marks", 0.01, {"greasy hands": 0.5})]
    )
    marks = (MarkedFault(name="finger marks"), MarkedFault(name="general fog"))
    older = Began(fault="finger marks", plate="p20", number=20, day="2026-05-10", plates=9)
    change = Advice(kind="change", do="Cool the developer.", cause="warm developer")
    plate = Why(plate="p32", number=32, faults=marks, began=(older, BEGAN), advice=change)
    assert home_advice(plate, both) == "since plate 31: general fog; cool the developer"
    note = Why(
        plate="p32",
        number=32,
        faults=marks,
        began=(older, BEGAN),
        advice=Advice(kind="note", do="Next time, press at each step."),
    )
    assert (
        home_advice(note, both) == "since plate 20: finger marks, general fog; next time, press at each step"
    )


def test_what_other_plates_do_not_tell_is_no_gap_of_the_record() -> None:
    """A plate may name its camera: without other cameras to compare with, that is told as not known yet."""
    cause = Likely(cause="leak", label="leak", chance=0.6, silent=("first seen", "wet share", "camera"))
    told = lines(Why(plate="p", number=1, causes=(cause,)), Catalogue())
    assert [line.text for line in told if line.kind == "silent"] == [
        "not recorded: how soon the image showed; how long it stayed wet",
        "not known yet: how other cameras did",
    ]
