"""The fields about faults without a screen: what is asked of which fault, and what becomes of the answers."""

from __future__ import annotations

from darkroom import resources
from darkroom.faults.catalogue import NONE_OF_THESE, Ask, Catalogue, Cause, Fault
from darkroom.faults.catalogue import Test as Trial
from darkroom.log.review.judgement import FaultLine, StandingJudgement
from darkroom.screens.judging.fault_fields import PLACES, list_of
from darkroom.screens.judging.fields import JudgementFields, fields_of, judgement_of
from darkroom.screens.judging.screen import page
from darkroom.screens.widgets.form import Form
from darkroom.screens.widgets.pick_list import matching
from tests.kit.plates import texts

SHEEN, BEFORE = "Is the sheen there when it is dry?", "Had the plate before it the sheen?"
SHADE = "Develop one in the shade."


def cause(name: str, label: str, do: str | None = None) -> Cause:
    """Return a cause of no weight."""
    test = None if do is None else Trial(do=do, shown=8, absent=-8)
    return Cause(
        id=name, label=label, usual=0.1, remedy=f"Mend: {label}.", source="invented for the tests", test=test
    )


def fault(name: str, label: str, links: dict[str, float], *questions: str) -> Fault:
    """Return a fault with questions that weigh nothing."""
    asks = tuple(Ask(question=question, answers={"yes": {}, "no": {}}) for question in questions)
    return Fault(
        id=name,
        label=label,
        looks=f"looks like {label}",
        unexplained=0.01,
        causes=links,
        source="invented for the tests",
        where=("thumb's corner", "all over"),
        asks=asks,
    )


CATALOGUE = Catalogue(
    faults={
        "bloom": fault("bloom", "violet bloom", {"hot tray": 0.4, "loose lid": 0.7}, SHEEN, BEFORE),
        "rim": fault("rim", "crazed rim", {"hot tray": 0.6}),
    },
    causes={
        "hot tray": cause("hot tray", "tray in the sun", SHADE),
        "loose lid": cause("loose lid", "lid not closed"),
    },
)
STOOD = FaultLine(
    line=9,
    name="bloom",
    where="left edge",
    cause="hot tray",
    answers=((SHEEN, "yes"), ("Old question?", "no")),
)


def fields(*faults: FaultLine, **values: object) -> JudgementFields:
    """Return the fields of a plate with these faults, the catalogue at hand."""
    return fields_of(StandingJudgement(faults=faults), catalogue=CATALOGUE, **values)  # type: ignore[arg-type]


def named(form: JudgementFields) -> list[str]:
    """Return the ids of the fields about faults, in order."""
    return [entry.id for entry in form.entries if entry.kind == "fault" or entry.of]


def test_a_fault_brings_its_questions_and_its_cause() -> None:
    """Two questions and the cause stand below the place; another fault has others, own words have none."""
    form = fields()
    assert named(form) == ["fault 0", "where 0"]
    form.at("fault 0").value = "violet bloom"
    form.grow()
    first = ["fault 0", "where 0", "asked 0.0", "asked 0.1", "cause 0"]
    assert named(form) == [*first, "fault 1", "where 1"]
    assert form.at("fault 0").hint == "looks like violet bloom"
    assert [form.at("asked 0.0").key, form.at("asked 0.1").key] == [SHEEN, BEFORE]
    form.at("fault 0").value = "crazed rim"
    form.grow()
    assert named(form)[:3] == ["fault 0", "where 0", "cause 0"]
    form.at("fault 0").value = "crazed rims"
    form.grow()
    assert named(form) == ["fault 0", "where 0", "fault 1", "where 1"]
    assert "Do you mean “crazed rim”?" in form.at("fault 0").hint
    assert "nothing is inferred" in form.at("fault 0").hint


def test_the_usual_places_come_first_and_all_others_after() -> None:
    """The places of the fault lead the list, each stands once, and no other is lost."""
    form = fields()
    form.at("fault 0").value = "VIOLET  bloom"
    form.grow()
    options = form.at("where 0").options
    assert tuple(options[:3]) == ("", "thumb's corner", "all over")
    assert sorted(options) == sorted({"", "thumb's corner", *PLACES})


def test_the_journal_gets_the_id_and_the_answers() -> None:
    """Chosen by its label the fault is saved by its id, with what was answered alone."""
    form = fields()
    for name, value in (("fault 0", "Violet bloom"), ("where 0", "thumb's corner")):
        form.at(name).value = value
        form.grow()
    form.at("asked 0.1").value = "no"
    form.at("cause 0").value = "loose lid"
    judgement, mistakes = judgement_of(form)
    assert mistakes == {}
    assert judgement.faults == (
        FaultLine(name="bloom", where="thumb's corner", cause="loose lid", answers=((BEFORE, "no"),)),
    )


def test_what_stood_is_shown_and_stays_as_it_was() -> None:
    """The label stands for the id; untouched nothing differs, an answer to an old question is kept."""
    form = fields(STOOD)
    assert not form.changed
    assert form.at("fault 0").value == "violet bloom"
    assert form.at("asked 0.0").value == "yes" and form.at("cause 0").value == "hot tray"
    assert judgement_of(form)[0].faults == (STOOD,)
    form.at("asked 0.0").value = ""
    form.at("cause 0").value = ""
    (changed,) = judgement_of(form)[0].faults
    assert (changed.line, changed.cause, changed.answers) == (9, None, (("Old question?", "no"),))


def test_another_name_takes_answers_and_cause_with_it() -> None:
    """Answers are about the fault that was named: with another one they go, the place stays."""
    form = fields(STOOD)
    form.at("fault 0").value = "crazed rim"
    form.grow()
    assert judgement_of(form)[0].faults == (FaultLine(line=9, name="rim", where="left edge"),)
    form.at("fault 0").value = "violet bloom"
    form.grow()
    assert not form.changed, "back to the first name, all of it stands again"
    assert judgement_of(form)[0].faults == (STOOD,)


def test_a_fault_of_own_words_keeps_what_was_said_of_it() -> None:
    """Cause and answers of a name that the catalogue has no more have no field and stay in the journal."""
    old = FaultLine(line=4, name="old grief", cause="unknown thing", answers=(("Was it wet?", "yes"),))
    form = fields(old)
    assert named(form)[:2] == ["fault 0", "where 0"]
    assert judgement_of(form)[0].faults == (old,)


def test_the_catalogue_may_come_later() -> None:
    """Before it is there names are words; then labels and questions stand there, and typed words stay."""
    form = fields_of(StandingJudgement(faults=(STOOD,)))
    assert form.at("fault 0").value == "bloom"
    form.at("fault 1").value = "rim"
    form.at("where 0").value = "centre"
    form.grow()
    held = form.at("where 0")
    form.take_catalogue(CATALOGUE)
    assert form.at("fault 0").value == "violet bloom" and form.at("where 0") is held
    saved = judgement_of(form)[0].faults
    assert [(line.name, line.where, line.answers) for line in saved] == [
        ("bloom", "centre", STOOD.answers),
        ("rim", None, ()),
    ]


def test_a_test_is_asked_about_where_it_was_advised_or_made() -> None:
    """Its outcome is one more field: shown or absent; a test that nobody advised is not there."""
    assert "tested 0.0" not in named(fields(STOOD))
    form = fields(STOOD, advised=[SHADE, "something else"])
    assert form.at("tested 0.0").key == SHADE
    form.at("tested 0.0").value = "absent"
    (saved,) = judgement_of(form)[0].faults
    assert saved.answers == (*STOOD.answers, (SHADE, "absent"))
    assert fields(saved).at("tested 0.0").value == "absent"


def test_nothing_else_names_every_fault_that_was_looked_for() -> None:
    """Yes is the list of the catalogue; what stands from before stays as it was; empty takes it away."""
    form = fields(STOOD)
    form.at("nothing else").value = "yes"
    assert judgement_of(form)[0].nothing_else == ("bloom", "rim")
    stands = StandingJudgement(nothing_else=("bloom",))
    form = fields_of(stands, catalogue=CATALOGUE)
    assert form.at("nothing else").value == "yes" and not form.changed
    assert judgement_of(form)[0].nothing_else == ("bloom",)
    form.at("nothing else").value = ""
    assert judgement_of(form)[0].nothing_else is None


def test_the_cause_is_one_of_those_linked_the_closest_first() -> None:
    """None of these is among them, and so is one that stands there though nothing links it."""
    form = fields(STOOD)
    assert list(form.at("cause 0").options) == ["", "loose lid", "hot tray", NONE_OF_THESE]
    _, picks, own = list_of(form.at("cause 0"), CATALOGUE)
    assert [pick.label for pick in picks] == [
        "not confirmed", "lid not closed", "tray in the sun", NONE_OF_THESE,
    ]  # fmt: skip
    assert own is None
    strange = fields(FaultLine(line=9, name="bloom", cause="moonlight"))
    assert strange.at("cause 0").value == "moonlight" and "moonlight" in strange.at("cause 0").options


def test_the_question_is_read_in_its_row_and_whole_below() -> None:
    """On 80 columns the row says the question; under the hand it stands whole at the foot."""
    form = Form(fields(STOOD).entries)
    form.current = form.at("asked 0.1")
    rows = texts(page(form, 80, 21))
    assert any(f"asked      ‹ not said: {BEFORE} ›" in row for row in rows)
    assert any(f"yes: {SHEEN}" in row for row in rows)
    assert BEFORE in " ".join(row.strip() for row in rows[-2:])


def test_everyday_words_find_the_shipped_faults() -> None:
    """What is said of a plate without knowing a name for it finds the fault in the list, and not all."""
    catalogue, wrong = resources.fault_catalogue()
    assert not wrong
    form = fields_of(StandingJudgement(), catalogue=catalogue)
    _, picks, _ = list_of(form.at("fault 0"), catalogue)
    for fault in catalogue.faults.values():
        for word in fault.words:
            assert fault.label in [pick.value for pick in matching(picks, word)], (fault.id, word)
    assert any("peel" in pick.meaning for pick in matching(picks, "peeling"))
    assert len(matching(picks, "peeling")) < len(picks) / 3
