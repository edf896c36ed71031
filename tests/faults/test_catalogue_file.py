"""Files of faults: what is right is read whole, and any text is faults or a list of mistakes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.errors import FaultsError, QuantityError
from darkroom.faults.catalogue import JUDGEMENT, Ask, Cause, Evidence, Fault
from darkroom.faults.catalogue import Test as ThingToTry
from darkroom.faults.catalogue_file import MOST_ENTRIES, parse
from darkroom.faults.cause_parts import weight
from darkroom.faults.merging import FilePart
from darkroom.process.text.yaml_reader import MOST_BYTES
from tests.kit.documents import ROOT
from tests.kit.texts_with_slips import any_texts, texts_of_words, texts_with_slips

WHOLE = """
causes:
  warm developer:
    label: developer too warm
    usual: 0.06
    evidence:
      - of: developer over usual
        points: {-2: -strongly, 0: minus plainly, 2: 0, 4: a little, 7: 9}
        says: "developer {value:+.1f} °C against your {{usual}}: {value}"
      - of: new developer
        points: {0: -2, 1: 4}
        says: {0: not a new developer, 1: the fault began with a new developer}
    test: {do: Try a cooler one., shown: 8, absent: -8, cost: 0}
    remedy: Cool the developer.
    cost: 2
    source: invented
    cautions: Keep it off the skin.
    weights: invented too
  sour bath:
    usual: 0.005
    test: {do: "Lay litmus paper in a sample: is it blue?", shown: plainly, absent: -plainly}
    remedy: Add a drop of dilute nitric acid, and test again.
    alters: bath
    source: invented
    cautions: [Goggles., "Acid into water, drop by drop."]
faults:
  fog:
    label: general fog
    looks: a veil
    where: all over
    words: [milky, grey veil, milky]
    unexplained: 0.01
    causes: {warm developer: 0.4, sour bath: 0.95}
    asks:
      - {question: "Under the edge too?", "yes": {sour bath: strongly}, "no": {sour bath: -2}}
    source: invented
    cautions: Look at it by red light.
    weights: invented as well
"""
TEXTS = [path.read_text(encoding="utf-8") for path in sorted((ROOT / "profiles" / "faults").glob("*.yaml"))]
WORDS = (
    "causes:", "faults:", "usual: 0.06", "evidence:", "- of: wet share", "points: {0: -1, 1: 1}", "says: ",
    "{value}", "{value:99999999999f}", "{value.__class__}", "{0}", "{", "}", "test: ", "shown: 8",
    "remedy: boil",
    "alters: bath", "asks: ", "yes: {}", "links", "nan", "-plainly", "- ", "  ", "\n", ": ", "[", "]",
    "&a", "*a",
    "!!x", "\t", "\x00", "\ud800", "é", "mercury", "cautions: x", "label: ", "unexplained: 0.01",
)  # fmt: skip


def test_a_whole_file_is_read() -> None:
    """Every key arrives: words as decibans, one line as a list of one, a bare {value} in few digits."""
    part = parse(WHOLE, "whole.yaml")
    warm = Cause(
        id="warm developer",
        label="developer too warm",
        usual=0.06,
        evidence=(
            Evidence(
                of="developer over usual",
                points=((-2.0, -9.0), (0.0, -5.0), (2.0, 0.0), (4.0, 2.0), (7.0, 9.0)),
                says="developer {value:+.1f} °C against your {{usual}}: {value:g}",
            ),
            Evidence(
                of="new developer",
                points=((0.0, -2.0), (1.0, 4.0)),
                says=((0.0, "not a new developer"), (1.0, "the fault began with a new developer")),
            ),
        ),
        test=ThingToTry(do="Try a cooler one.", shown=8.0, absent=-8.0, cost=0),
        remedy="Cool the developer.",
        cost=2,
        source="invented",
        cautions=("Keep it off the skin.",),
        weights="invented too",
    )
    sour = Cause(
        id="sour bath",
        label="sour bath",
        usual=0.005,
        test=ThingToTry(do="Lay litmus paper in a sample: is it blue?", shown=5.0, absent=-5.0, cost=1),
        remedy="Add a drop of dilute nitric acid, and test again.",
        alters="bath",
        source="invented",
        cautions=("Goggles.", "Acid into water, drop by drop."),
        weights=JUDGEMENT,
    )
    fog = Fault(
        id="fog",
        label="general fog",
        looks="a veil",
        where=("all over",),
        words=("milky", "grey veil"),
        unexplained=0.01,
        causes={"warm developer": 0.4, "sour bath": 0.95},
        asks=(
            Ask(
                question="Under the edge too?",
                answers={"yes": {"sour bath": 9.0}, "no": {"sour bath": -2.0}},
            ),
        ),
        source="invented",
        cautions=("Look at it by red light.",),
        weights="invented as well",
    )
    assert (warm, sour) == part.causes
    assert (fog,) == part.faults
    assert part.lines == {("cause", "warm developer"): 3, ("cause", "sour bath"): 19, ("fault", "fog"): 27}
    assert part.named_on == {("fog", "warm developer"): 33, ("fog", "sour bath"): 33}
    said = part.causes[0].evidence[0].words(6.0)
    assert said == "developer +6.0 °C against your {usual}: 6"


@pytest.mark.parametrize(
    ("text", "decibans"),
    [
        ("a little", 2), ("Plainly", 5), ("strongly", 9), ("-a little", -2), ("- plainly", -5),
        ("−strongly", -9), ("minus strongly", -9), ("7.5", 7.5), ("-12", -12), ("+3", 3), ("0", 0),
    ],
)  # fmt: skip
def test_a_weight_is_a_number_or_a_word(text: str, decibans: float) -> None:
    """The words stand for 2, 5 and 9 decibans, with a minus for against."""
    assert decibans == weight(text)


@pytest.mark.parametrize(
    "text", ["", "12.1", "-13", "very", "strongly for", "--plainly", "nan", "1e3", "5 dB"]
)
def test_what_is_no_weight_is_refused(text: str) -> None:
    """What is heavier than anything may weigh, or no number and none of the words, is a sentence."""
    with pytest.raises(QuantityError):
        weight(text)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("strongly against", "-strongly"), ("strongly for", "strongly"), ("-plainli", "-plainly"),
        ("minus a litle", "-a little"),
    ],
)  # fmt: skip
def test_a_wrong_word_for_a_weight_is_answered_with_the_nearest(text: str, meant: str) -> None:
    """What speaks against has a minus in the answer as well."""
    with pytest.raises(QuantityError, match=f"did you mean '{meant}'"):
        weight(text)


def test_a_file_holds_so_many_entries_and_no_more() -> None:
    """Two hundred causes are read, one more is refused; so is a text longer than any file of ours."""
    entry = "  c{}: {{usual: 0.1, remedy: Mend it., source: invented}}\n"
    full = "causes:\n" + "".join(entry.format(n) for n in range(MOST_ENTRIES))
    assert len(parse(full, "full.yaml").causes) == MOST_ENTRIES
    with pytest.raises(FaultsError, match="201 causes: at most 200"):
        parse(full + entry.format(MOST_ENTRIES), "over.yaml")
    with pytest.raises(FaultsError, match="too large"):
        parse("#" * (MOST_BYTES + 1), "long.yaml")


def is_told(text: str) -> None:
    """Read a text: faults and causes whose words can be said, or mistakes that each can be printed."""
    try:
        part = parse(text, "fuzz.yaml")
    except FaultsError as error:
        assert error.problems and all(str(problem).startswith("fuzz.yaml") for problem in error.problems)
        assert str(error).replace("\n", "").isprintable()
        return
    assert isinstance(part, FilePart) and (part.causes or part.faults)
    for cause in part.causes:
        for evidence in cause.evidence:
            assert all(len(evidence.words(value)) < 300 for value in (-1e9, 0.0, 0.1 + 0.2, 1e9))


@given(any_texts())
def test_any_text_is_faults_or_mistakes(text: str) -> None:
    """No text ends in anything else."""
    is_told(text)


@given(texts_of_words(WORDS))
def test_any_words_of_a_file_of_faults_are_faults_or_mistakes(text: str) -> None:
    """Nor do the words of such a file in any order."""
    is_told(text)


@given(texts_with_slips([WHOLE, *TEXTS], WORDS))
def test_a_file_of_faults_with_slips_is_faults_or_mistakes(text: str) -> None:
    """Nor does a right file in which lines, words and signs were lost, doubled or exchanged."""
    is_told(text)


@given(st.text(alphabet="value{}:.+0123456789fgdrsx![]_ ", max_size=40))
def test_whatever_evidence_says_asks_for_nothing_but_the_value(says: str) -> None:
    """A text with braces is refused, or said of any value in a line of bounded length."""
    quoted = says.replace("\\", "").replace('"', "")
    is_told(WHOLE.replace("developer {value:+.1f} °C against your {{usual}}: {value}", quoted))
