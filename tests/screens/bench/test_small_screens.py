"""What a small screen must still tell: no sentence cut, no refusal unseen, the menu's key in sight."""

from __future__ import annotations

import pytest

from darkroom.bench import intents as want
from darkroom.bench.view import bench_view
from darkroom.process.model import ExposurePlan
from darkroom.screens.bench.layout import face
from darkroom.screens.bench.rail import BenchStatus, keys_row
from darkroom.session.actions import footer
from tests.kit.bench import PROCESS, Hand
from tests.kit.bench_screen import shown
from tests.kit.letters import reads

LONG = "Pour in one sweep. When it is out in full, water on, then press, and do not stop to look."


def _with_hint(stage: str, hint: str) -> Hand:
    stages = [
        {**stage_fields, "hint": hint} if stage_fields["name"] == stage else stage_fields
        for stage_fields in PROCESS["stages"]
    ]
    return Hand(process={**PROCESS, "stages": stages})


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), (120, 40), (200, 60)])
def test_a_long_instruction_is_whole_and_the_wet_time_stands_beside(columns: int, rows: int) -> None:
    """Before the plate is coated both the whole hint and "wet …, needed about …" can be read."""
    hand = _with_hint("coat", LONG)
    hand.new(0.0)
    text = shown(hand, 1.0, columns, rows)
    assert LONG in " ".join(text.split()) or reads(LONG, text)
    assert "wet 10:00 assumed, needed about" in text


def test_the_smallest_screen_tells_a_refusal_and_what_is_not_saved() -> None:
    """At 30 x 8: light, plate, overrun, the refusal in place of the instruction, and "not saved"."""
    hand = Hand()
    hand.to_stage("sensitise")
    status = BenchStatus(
        answer="that key does nothing here, nor does its neighbour", answer_good=False, unsaved=("plate 1",)
    )
    text = shown(hand, 262.0, 30, 8, status)
    for phrase in (
        "safelight only",
        "1 LIFT +0:22",
        "does nothing here",
        "its neighbour",
        "not saved: plate 1",
    ):
        assert phrase in text


def test_the_smallest_screen_breaks_the_instruction_into_lines() -> None:
    """At 30 x 8 the whole of a long hint is read over several lines."""
    hand = _with_hint("coat", LONG)
    hand.new(0.0)
    assert LONG in shown(hand, 1.0, 30, 8).replace("\n", " ")


def test_the_menu_is_among_the_first_keys() -> None:
    """A footer cut to three keys still leads to the menu, and so to everything else."""
    hand = Hand()
    hand.to_stage("sensitise")
    assert [name for name, _ in footer(hand.bench, 31.0)][:3] == ["go", "undo", "menu"]


def test_longer_and_shorter_are_named_where_they_work() -> None:
    """At 80 columns up and down stand in the footer of a test plate that waits, before marks and the rest."""
    hand = Hand()
    hand.new(0.0)
    hand.do(1.0, want.SetPlan(ExposurePlan(steps=(1.0, 1.0, 2.0), between="run_on")))
    keys = tuple(footer(hand.bench, 2.0))
    row = "".join(text for text, _ in keys_row(BenchStatus(keys=keys, notice="no sound"), 80))
    assert "up: longer" in row and "down: shorter" in row and "menu: menu" in row
    assert [name for name, _ in keys][:4] == ["go", "menu", "up", "down"]


@pytest.mark.parametrize("columns", [40, 45, 60, 72, 80, 120])
def test_a_notice_leaves_the_menu_its_place(columns: int) -> None:
    """Without sound the first key and the menu can be read, and what does not work in two words."""
    keys = (("space", "go"), ("backspace", "take back"), ("escape", "menu"), ("left", "plate before"))
    notice = "no sound: the bell only"
    row = "".join(text for text, _ in keys_row(BenchStatus(keys=keys, notice=notice), columns))
    assert len(row) == columns
    assert "space: go" in row and "escape: menu" in row
    assert row.endswith("no sound")
    assert ("backspace: take back" in row) is (columns >= 60)
    assert "left" not in row or columns >= 80


@pytest.mark.parametrize(("columns", "rows"), [(45, 50), (60, 24), (60, 14), (40, 20), (80, 24)])
@pytest.mark.parametrize("others", [False, True])
def test_no_caution_is_cut(columns: int, rows: int, others: bool) -> None:
    """Each word of a caution comes within a few turns, on a narrow screen and beside other plates too."""
    caution = "Silver nitrate blinds. Goggles on before the lid comes off, eyewash in reach of the left hand."
    stages = [
        {**stage_fields, "cautions": [caution]} if stage_fields["name"] == "coat" else stage_fields
        for stage_fields in PROCESS["stages"]
    ]
    hand = Hand(process={**PROCESS, "stages": stages})
    if others:
        hand.to_stage("fix")
    hand.new(500.0)
    pages = [
        shown(hand, 501.0, columns, rows, BenchStatus(caution_page=caution_page)).split()
        for caution_page in range(8)
    ]
    words_seen = {word for page_words in pages for word in page_words}
    if rows >= 24 or not others:  # one row beside other plates is theirs
        assert set(caution.split()) <= words_seen


STAGES = (None, "sensitise", "drain", "expose", "develop", "fix", "wash")


@pytest.mark.parametrize("stage", STAGES)
def test_no_size_of_screen_breaks_the_bench(stage: str | None) -> None:
    """Whatever the terminal's size, there are just as many rows, each as wide as the screen."""
    hand = Hand()
    hand.new(0.0) if stage is None else hand.to_stage(stage)
    view = bench_view(hand.bench, 400.0)
    plain = BenchStatus()
    full = BenchStatus(lesson="a long instruction of a lesson " * 8)
    bad = BenchStatus(
        unsaved=("plate 1",), notice="sound lost " * 9, answer="not now " * 12, answer_good=False
    )
    for columns in (*range(1, 60, 7), 72, 80, 100, 131, 200):
        for rows in (*range(1, 31), 36, 44, 60):
            for status in (plain, full, bad):
                bench_rows = face(view, status, columns, rows)
                cells = {sum(len(text) for text, _ in row) for row in bench_rows}
                assert (len(bench_rows), cells) == (rows, {columns}), (columns, rows)


@pytest.mark.parametrize("stage", ["coat", "sensitise", "drain", "expose", "develop", "wash"])
def test_a_terminal_without_half_blocks_shows_the_word_large_and_nothing_touches(stage: str) -> None:
    """With letters of coloured spaces the word has four rows at 80 x 24 and a free row below it."""
    hand = Hand()
    hand.to_stage(stage)
    view = bench_view(hand.bench, 400.0)
    for columns, rows in ((30, 8), (40, 12), (60, 18), (80, 24), (120, 40), (200, 60)):
        drawn = face(view, BenchStatus(), columns, rows, blocks="spaces")
        assert (len(drawn), {sum(len(text) for text, _ in row) for row in drawn}) == (rows, {columns})
    drawn = face(view, BenchStatus(), 80, 24, blocks="spaces")
    lit = [any(meaning.endswith("reversed") for _, meaning in row) for row in drawn]
    assert lit[4:8] == [True] * 4 and not lit[3] and not lit[8]
