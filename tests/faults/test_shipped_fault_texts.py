"""What the shipped faults say: short enough for a narrow screen, cautious, with their sources."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from darkroom.faults.catalogue import Cause, Evidence, Fault
from darkroom.faults.evidence_names import BY_NAME
from darkroom.resources import fault_catalogue

CATALOGUE, _ = fault_catalogue(Path("no folder"))
CAUSES = tuple(CATALOGUE.causes.values())
ENTRIES: tuple[Fault | Cause, ...] = (*CATALOGUE.faults.values(), *CAUSES)
SHEET = "Your supplier's safety sheet first."
SOURCES = (
    "Schriever",
    "Hardwich",
    "Estabrooke",
    "Hasluck",
    "Cassell",
    "Archer",
    "Hunt",
    "Rodger",
    "Wilkinson",
    "Workshop Receipts",
    "Henley",
    '"Photo" manual',
    "The Dictionary of Photography",
    "Clerc",
    "early-1900s manuals",
    "Every Boy's Book",
    "Wellington",
    "from memory",
    "common practice, no source",
)


def said(evidence: Evidence) -> list[str]:
    """Return what an evidence says of the ends of its figure's range and of its own points."""
    believed = BY_NAME[evidence.of]
    values = [believed.low, believed.high, *(value for value, _ in evidence.points)]
    return [evidence.words(value) for value in values]


def test_texts_fit_narrow_screens() -> None:
    """A fault's looks have at most 90 signs, a remedy and a test 120, a figure's words 60."""
    assert [fault.id for fault in CATALOGUE.faults.values() if len(fault.looks) > 90] == []
    assert [cause.id for cause in CAUSES if len(cause.remedy) > 120] == []
    assert [cause.id for cause in CAUSES if cause.test is not None and len(cause.test.do) > 120] == []
    assert [
        text for cause in CAUSES for each in cause.evidence for text in said(each) if len(text) > 60
    ] == []


def test_zero_has_no_minus() -> None:
    """A figure that rounds to zero is told without a minus, one that does not keeps its sign."""
    (warm,) = [
        each for each in CATALOGUE.causes["developer too warm"].evidence if each.of == "developer over usual"
    ]
    assert warm.words(-0.04) == warm.words(0.04) == "developer +0.0 °C against your usual"
    assert warm.words(-0.06) == "developer -0.1 °C against your usual"


def test_what_is_told_of_a_holder_agrees_with_its_weight() -> None:
    """Of a holder or camera "no more often" is never told for a leak, and "more often" never against it."""
    for name in ("light leak", "dirty holder", "film touched the holder"):
        for each in CATALOGUE.causes[name].evidence:
            if each.of in ("holder", "camera"):
                for value in range(-100, 101):
                    more = not each.words(value).startswith(("it comes no more often", "it comes less often"))
                    assert each.decibans(value) * (1 if more else -1) >= 0, (name, each.of, value)


def test_names_fit_a_list() -> None:
    """The labels of faults and causes have at most 40 signs, and no two are alike."""
    labels = [entry.label for entry in ENTRIES]
    assert [label for label in labels if len(label) > 40] == []
    assert len(labels) == len({label.casefold() for label in labels})


def test_every_fault_has_everyday_words() -> None:
    """Each is found by words that a beginner would use, not only by the name that the books have."""
    for fault in CATALOGUE.faults.values():
        assert len(fault.words) >= 4, fault.id
        assert all(word == word.strip().lower() for word in fault.words), fault.id
    for word in ("stripes", "peeling", "milky", "rainbow", "fingerprints", "yellow", "dust", "holes"):
        assert any(word in fault.words for fault in CATALOGUE.faults.values()), word


def test_every_entry_names_its_source() -> None:
    """Each fault and cause names a book, or says that it is common practice or from memory."""
    for entry in ENTRIES:
        assert any(source in entry.source for source in SOURCES), (entry.id, entry.source)


def test_weights_say_where_they_are_from() -> None:
    """Weights are judgement, and where a book gives the turn it is named."""
    for cause in CAUSES:
        assert "judgement, no source" in cause.weights or "common practice" in cause.weights, cause.id
    assert sum(cause.weights != "judgement, no source" for cause in CAUSES) >= 10


def test_remedy_that_alters_a_bottle_has_its_test() -> None:
    """What alters a bottle has a test of its own, and the supplier's sheet stands first."""
    altering = [cause for cause in CAUSES if cause.alters is not None]
    assert altering
    for cause in altering:
        assert cause.test is not None, cause.id
        assert cause.cautions[0] == SHEET, cause.id


def test_silver_is_said_to_blind_where_the_bath_is_altered() -> None:
    """Every remedy of the bath's own chemistry says that silver nitrate blinds."""
    for cause in CAUSES:
        if cause.alters == "bath":
            assert any("blinds" in caution for caution in cause.cautions), cause.id


@pytest.mark.parametrize(
    ("word", "caution"),
    [
        (r"nitric", "poisonous fumes"),
        (r"nitric", "within a day"),
        (r"bicarbonate", "within a day"),
        (r"bicarbonate", "ammonia"),
        (r"acetic", "Never acid near cyanide"),
        (r"acetic", "takes fire"),
        (r"[Bb]oil", "for the experienced alone"),
        (r"[Bb]oil", "no flame"),
        (r"ether", "no flame"),
        (r"add(?:ing)? (?:a little )?alcohol", "no flame"),
        (r"strong sun", "ammonia"),
    ],
)
def test_caution_stands_at_the_remedy(word: str, caution: str) -> None:
    """A remedy with acid, boiling, ether or alcohol has the usual caution beside it (common practice)."""
    named = [cause for cause in CAUSES if re.search(word, cause.remedy, re.IGNORECASE)]
    assert named
    for cause in named:
        assert any(caution.casefold() in each.casefold() for each in cause.cautions), (cause.id, caution)


def test_fixer_remedies_know_cyanide() -> None:
    """What is changed at the fixer, and acid put in a developer, says that acid and cyanide never meet."""
    for name in ("fixed too briefly", "fixer exhausted", "fixer not washed out", "developer not washed off"):
        assert any("cyanide" in caution for caution in CATALOGUE.causes[name].cautions), name
    for cause in CAUSES:
        if cause.alters == "developer" and "acid" in cause.remedy:
            assert any("cyanide" in caution for caution in cause.cautions), cause.id


def test_varnish_warns_of_fire() -> None:
    """Faults and causes of the varnish say that it takes fire."""
    entries = [entry for entry in ENTRIES if "varnish" in entry.id]
    assert len(entries) >= 7
    assert all(any("take fire" in caution for caution in entry.cautions) for entry in entries)


def test_mercury_and_ammonia_are_never_offered() -> None:
    """No remedy and no test has mercury, ammonia or cyanide in it."""
    for cause in CAUSES:
        offered = f"{cause.remedy} {cause.test.do if cause.test is not None else ''}"
        assert not re.search(r"mercur|sublimate|ammonia|cyanide", offered, re.IGNORECASE), cause.id
