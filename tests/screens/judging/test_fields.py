"""The fields of a judgement without a screen: what is shown, what is read back, what is wrong with it."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from darkroom.bench import events as ev
from darkroom.log.journal.merge import read_plate
from darkroom.log.plate.record import judge
from darkroom.log.review.judgement import StandingJudgement, change_builders, standing
from darkroom.screens.judging.fields import fields_of, judgement_of
from darkroom.screens.judging.screen import page
from darkroom.screens.widgets.form import Form
from darkroom.screens.widgets.rows import width
from tests.kit.plates import forgotten, judged, put, texts


@pytest.mark.parametrize(
    ("name", "entered", "phrase"),
    [
        ("stops", "a bit", "no number of stops"),
        ("stops", "99", "out of range"),
        ("strip", "0", "1 to 99"),
        ("strip", "x", "1 to 99"),
        ("detail 1", "varnish", "key = value"),
        ("where 1", "centre", "what fault"),
        ("detail 1", "= x", "key = value"),
    ],
)
def test_what_cannot_be_read_is_said_at_its_field(
    tmp_path: Path, name: str, entered: str, phrase: str
) -> None:
    """Nothing is written, the field is under the hand again, and what was typed still stands in it."""
    fields = fields_of(standing(read_plate(put(tmp_path, judged(forgotten())))))
    fields.at(name).value = entered
    _, mistakes = judgement_of(fields)
    (field,) = mistakes
    assert phrase in mistakes[field]
    form = Form(fields.entries)
    assert not form.show_mistakes(mistakes) and field == form.current.id
    rows = page(form, 80, 21)
    assert phrase in texts(rows)[-1]
    assert entered in "\n".join(texts(rows))


def test_long_and_odd_words_keep_their_row() -> None:
    """Words of 4,000 signs, wide signs and line ends: the row is just as wide as the screen."""
    for text in ("x" * 4000, "銀" * 300, "two\nlines\tand a tab", "e\u0301" * 40):
        fields = fields_of(StandingJudgement(notes=((3, text),)))
        form = Form(fields.entries)
        form.current = form.at("note 0")
        for columns in (30, 80, 200):
            for cursor in (0, 1, len(text) // 2, len(text)):
                form.cursor = cursor
                for row in page(form, columns, 20):
                    assert sum(width(piece) for piece, _ in row) == columns
                    assert all(piece.isprintable() for piece, _ in row)


def test_an_older_detail_of_the_same_name_is_left_alone() -> None:
    """Two "next" lines: the newest stands in its field; only when that is emptied both are withdrawn."""
    fields = fields_of(
        StandingJudgement(details=((4, "next", "old"), (9, "Next", "new"), (10, "varnish", "sandarac")))
    )
    assert fields.at("next").value == "new"
    assert set(judgement_of(fields)[0].details) == {
        (4, "next", "old"),
        (9, "Next", "new"),
        (10, "varnish", "sandarac"),
    }
    fields.at("next").value = "newer"
    assert {(9, "Next", "newer"), (4, "next", "old")} <= set(judgement_of(fields)[0].details)
    fields.at("next").value = ""
    assert judgement_of(fields)[0].details == ((10, "varnish", "sandarac"),)


def test_a_word_for_the_next_plate_is_kept_until_stops_take_its_place() -> None:
    """More, right and less stand in the field of the next plate; stops replace the word."""
    fields = fields_of(StandingJudgement(stars=3, exposure_word="more"))
    assert fields.at("stops").value == "more"
    fields.at("stars").value = ""
    judgement, mistakes = judgement_of(fields)
    assert (judgement.stars, judgement.exposure_word, mistakes) == (None, "more", {})
    for typed, stops, word in (("Less", None, "less"), ("+1/3", 0.3333, None), ("", None, None)):
        fields.at("stops").value = typed
        judgement, mistakes = judgement_of(fields)
        assert (judgement.exposure_stops, judgement.exposure_word, mistakes) == (stops, word, {})


def test_emptied_stars_leave_the_word_of_the_same_line(tmp_path: Path) -> None:
    """A rating of stars and a word: when the stars are withdrawn, the word is written anew."""
    lines = forgotten()
    at = "2026-03-02T20:00:00.000+01:00"
    rating = ev.Rating(n=lines[-1].n + 1, at=at, up=None, stars=3, exposure_word="more")
    log = read_plate(put(tmp_path, [*lines, rating]))
    wanted = msgspec.structs.replace(standing(log), stars=None)
    builders = change_builders(log, wanted, None, at)
    added = [line for number, build in enumerate(builders) for line in build(rating.n + 1 + number)]
    judged_again = judge((*log.standing, *added))
    assert (judged_again.stars, judged_again.exposure_word) == (None, "more")


def test_the_best_strip_is_chosen_among_the_plate_s_own() -> None:
    """Each strip stands with what it got; left and right go through them, and no other number is taken."""
    fields = fields_of(StandingJudgement(), strips=(2.0, 4.0, 8.0))
    field = fields.at("strip")
    assert list(field.options) == ["", "1", "2", "3"]
    assert "1: 2 s, 2: 4 s, 3: 8 s" in field.hint
    field.value = "4"
    assert "the plate has 3" in judgement_of(fields)[1]["strip"]
    field.value = "3"
    judgement, mistakes = judgement_of(fields)
    assert (mistakes, judgement.best_strip) == ({}, 3)


def test_of_a_plate_without_timed_strips_no_best_strip_is_taken() -> None:
    """What such a strip got is not known: the field says so, and what stands there from before stays."""
    fields = fields_of(StandingJudgement())
    assert "no timed strips" in fields.at("strip").hint
    fields.at("strip").value = "7"
    assert "no timed strips" in judgement_of(fields)[1]["strip"]
    fields = fields_of(StandingJudgement(best_strip=3))
    assert judgement_of(fields)[0].best_strip == 3
    fields.at("strip").value = ""
    judgement, mistakes = judgement_of(fields)
    assert (judgement.best_strip, mistakes) == (None, {})


def test_of_a_test_plate_the_next_one_counts_from_the_best_strip() -> None:
    """The field of the next plate says from what its stops count."""
    assert "Against the best strip" in fields_of(StandingJudgement(), strips=(2.0, 4.0)).at("stops").hint
    assert "best strip" not in fields_of(StandingJudgement()).at("stops").hint
