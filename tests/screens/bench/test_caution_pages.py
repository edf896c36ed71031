"""A caution is read as whole sentences: no row shows the end of one alone."""

from __future__ import annotations

import re

import pytest

from darkroom import resources
from darkroom.bench.view import bench_view
from darkroom.resources import load_process
from darkroom.screens.bench.layout import face
from darkroom.screens.bench.rail import BenchStatus, sentence_pages
from tests.kit.bench import PROCESS, Hand

SHIPPED = sorted(path.stem for path in resources.profiles_dir().glob("*.yaml"))
SENTENCE_ENDS = re.compile(r"(?<=[.!?])\s+")


def cautions_of(process: str) -> list[str]:
    """Return every caution of a shipped process."""
    return [caution for stage in load_process(process).stages for caution in stage.cautions]


@pytest.mark.parametrize("process", SHIPPED)
def test_every_sentence_of_a_shipped_caution_fits_one_row(process: str) -> None:
    """No sentence is longer than 78 letters, and a row of 80 columns shows nothing but whole ones."""
    texts = cautions_of(process)
    assert texts
    for text in texts:
        sentences = SENTENCE_ENDS.split(text)
        assert max(map(len, sentences)) <= 78
        pages = sentence_pages(text, 80)
        assert " ".join(line for (line,) in pages) == text
        assert all(line[-1] in ".!?" for (line,) in pages)


@pytest.mark.parametrize("process", SHIPPED)
def test_beside_other_plates_a_shipped_caution_is_no_fragment(process: str) -> None:
    """At 80 columns, with another plate in the rail, each turn shows whole sentences of the caution."""
    for text in cautions_of(process):
        hand = Hand(process=with_caution(text))
        hand.to_stage("fix")
        hand.new(500.0)
        view = bench_view(hand.bench, 501.0)
        wholes = {line for (line,) in sentence_pages(text, 80)}
        seen = set()
        for page in range(8):
            rows = [
                "".join(t for t, _ in row).rstrip()
                for row in face(view, BenchStatus(caution_page=page), 80, 24)
            ]
            seen |= {row for row in rows if row and row in text}
        assert seen == wholes


def with_caution(text: str) -> dict[str, object]:
    """Return the trial process with one caution, at its coat."""
    stages = [
        {**stage, "cautions": [text]} if stage["name"] == "coat" else {**stage, "cautions": []}
        for stage in PROCESS["stages"]
    ]
    return {**PROCESS, "stages": stages}


def test_a_sentence_too_long_for_the_row_comes_by_its_clauses() -> None:
    """Whole clauses where a sentence does not fit, words only where a clause does not."""
    text = "Acid and cyanide: keep trays, sinks and waste apart. Never alone."
    assert sentence_pages(text, 36) == [
        ["Acid and cyanide: keep trays,"],
        ["sinks and waste apart."],
        ["Never alone."],
    ]
    assert sentence_pages("Extraordinarily long.", 16) == [["Extraordinarily"], ["long."]]
    assert sentence_pages(text, 60, 2) == [
        ["Acid and cyanide: keep trays, sinks and waste apart. Never", "alone."]
    ]


def test_in_turns_with_the_other_plates_each_caution_comes() -> None:
    """On a screen without a row for cautions the rail's row shows the plates and every caution in turn."""
    hand = Hand(process=with_caution("Goggles on. " + "Keep the collodion off the skin of both hands."))
    hand.to_stage("fix")
    hand.new(500.0)
    view = bench_view(hand.bench, 501.0)
    for rows in range(12, 24):
        shown = "\n".join(
            "".join(text for text, _ in row)
            for page in range(12)
            for row in face(view, BenchStatus(caution_page=page), 45, rows)
        )
        if "Goggles on." in shown:
            assert "Keep the collodion off the skin of" in shown, rows
