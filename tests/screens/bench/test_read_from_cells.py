"""A program reads the bench from its cells: word, time, light and wet time at every size, in every state."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from msgspec.structs import replace

from darkroom.bench.view import BenchView, bench_view
from darkroom.process.model import ExposurePlan
from darkroom.screens.bench.large_time import time_rows, word_rows
from darkroom.screens.bench.layout import face
from darkroom.screens.bench.rail import BenchStatus
from darkroom.screens.bench.top import light_rows
from darkroom.screens.widgets.plate_summary import LIGHT_WORDS, large_time_text, wet_name
from darkroom.screens.widgets.rows import Row
from darkroom.session.lessons import LESSONS
from tests.kit.bench import CYANIDE, Hand
from tests.kit.letters import large_text_is_shown, reads

SIZES = [(60, 18), (80, 24), (100, 30), (120, 40), (200, 60)]


def _at(stage: str, now: float, **more: object) -> tuple[Hand, float]:
    hand = Hand(**{"plan": ExposurePlan(seconds=8.0), **more})
    hand.to_stage(stage)
    return hand, now


def _new() -> tuple[Hand, float]:
    hand = Hand()
    hand.new(0.0)
    return hand, 1.0


def _no_plan() -> tuple[Hand, float]:
    return _at("expose", 264.0, plan=None)


def _two_plates() -> tuple[Hand, float]:
    hand, now = _at("fix", 320.0)
    hand.new(320.0)
    hand.go(325.0, 345.0)
    return hand, now + 30.0


def _typed_wet() -> tuple[Hand, float]:
    return _at("exposed", 300.0, wet_time=300.0)


STATES: dict[str, Callable[[], tuple[Hand, float]]] = {
    "new": _new,
    "coating": lambda: _at("coat", 12.0),
    "coating too long": lambda: _at("coat", 50.0),
    "bath": lambda: _at("sensitise", 100.0),
    "bath calls": lambda: _at("sensitise", 262.0),
    "drain": lambda: _at("drain", 250.0),
    "expose ready": lambda: _at("ready", 261.0),
    "lead-in": lambda: _at("lead_in", 264.0),
    "exposing": lambda: _at("expose", 264.0),
    "capping": lambda: _at("expose", 269.5),
    "exposing without a time": _no_plan,
    "develop ready": lambda: _at("exposed", 300.0),
    "wet time typed": _typed_wet,
    "back now": lambda: _at("exposed", 825.0),
    "past wet": lambda: _at("exposed", 900.0),
    "developing": lambda: _at("develop", 280.0),
    "developed": lambda: _at("develop", 295.0),
    "water": lambda: _at("stop", 300.0),
    "fixing": lambda: _at("fix", 330.0),
    "washing": lambda: _at("wash", 400.0),
    "washed": lambda: _at("wash", 5000.0),
    "two plates": _two_plates,
    "cyanide": lambda: _at("develop", 280.0, process=CYANIDE),
}
STATUSES = {
    "plain": BenchStatus(keys=(("space", "go"), ("escape", "menu"))),
    "refused": BenchStatus(answer="2:10 short: again to lift", answer_good=False),
    "answered": BenchStatus(answer="exposure 6 s"),
    "in trouble": BenchStatus(unsaved=("plate 1",), notice="no sound: the bell only"),
    "taught": BenchStatus(lesson="Press once, with one hand: the plate starts and you begin to pour. " * 2),
}


def text_of(view: BenchView, status: BenchStatus, columns: int, rows: int) -> str:
    """Return the bench as text."""
    drawn = face(view, status, columns, rows)
    assert len(drawn) == rows and {sum(len(text) for text, _ in row) for row in drawn} == {columns}
    return "\n".join("".join(text for text, _ in row) for row in drawn)


@pytest.mark.parametrize(("columns", "rows"), SIZES)
@pytest.mark.parametrize("state", STATES)
def test_word_time_light_and_wet_time_are_read(state: str, columns: int, rows: int) -> None:
    """Whatever is answered, refused, taught or wrong, the four stand there, and the sentence is whole."""
    hand, now = STATES[state]()
    view = bench_view(hand.bench, now)
    large = view.large
    assert large is not None
    for name, status in STATUSES.items():
        text = text_of(view, status, columns, rows)
        told = f"{state}, {name}:\n{text}"
        time, word = large_time_text(large.large_time), large.word.text.upper()
        assert _time_stands(view, columns, rows, text), told
        assert _word_stands(view, columns, rows, text), told
        if (columns, rows) == (200, 60):  # letters of their natural width, drawn here without the screen
            if large.shape != "lead_in":  # dark on a slab
                assert _is_drawn(text, time, columns, range(20, 25)), told
            assert _is_drawn(text, word, columns, range(10, 13)), told
        light = LIGHT_WORDS[view.light]
        assert light in text or _light_stands(view, columns, rows, text), told
        if large.wet is not None:
            assert wet_name(large) in _label(text) or "wet " in text, told
            assert large.wet.assumed is ("assumed" in text.replace("°C assumed", "")), told
        sentence = large.question or (status.answer if name == "refused" and status.answer else large.do)
        if name != "answered" or rows >= 24:
            assert _whole(sentence, text), told
        if name == "answered":
            assert reads("exposure 6 s", text), told
        if name == "in trouble":
            assert "not saved: plate 1" in text, told


def _is_drawn(text: str, letters: str, columns: int, rows: range) -> bool:
    """Return whether the letters are there, in their natural width or squeezed."""
    return large_text_is_shown(text, letters, columns, rows) or large_text_is_shown(
        text, letters, columns, rows[-3:], squeezed=True
    )


def _stands(block: list[Row], text: str) -> bool:
    """Return whether rows stand on the screen one below the other, in the columns they were drawn for."""
    lines = text.splitlines()
    drawn = ["".join(part for part, _ in row) for row in block]
    return any(drawn == lines[y : y + len(drawn)] for y in range(len(lines) - len(drawn) + 1))


def _word_stands(view: BenchView, columns: int, rows: int, text: str) -> bool:
    return any(
        _stands(word_rows(view.large, columns, tall, "half", below), text)
        for tall in range(3, rows // 5 + 1)
        for below in (0, 1)
    )


def _time_stands(view: BenchView, columns: int, rows: int, text: str) -> bool:
    return any(_stands(time_rows(view.large, columns, tall, "half"), text) for tall in range(4, rows // 2))


def _light_stands(view: BenchView, columns: int, rows: int, text: str) -> bool:
    """Return whether the light's letters stand at the end of the first rows, in letters and not as text."""
    top = max(3, rows // 10)
    lamp = light_rows(view, columns, top)
    lines = text.splitlines()[:top]
    drawn = ["".join(part for part, _ in row) for row in lamp]
    lit = any(set(row) & set("█▀▄") for row in drawn)
    return lit and all(line.endswith(row) for line, row in zip(lines, drawn, strict=True))


def _label(text: str) -> str:
    """Return the words of the label beside the wet time, plain or in letters."""
    shown = [word for word in ("PAST", "WET", "BACK", "NOW") if _is_label(text, word)]
    return " ".join(shown)


def _is_label(text: str, word: str) -> bool:
    return (
        word in text or large_text_is_shown(text, word, 60, range(3, 6), squeezed=True) or _small(text, word)
    )


def _small(text: str, word: str) -> bool:
    """Return whether the word stands somewhere in small letters, beside other cells."""
    from darkroom.screens.lettering.small_text import small_rows, small_width

    drawn = [row[0][0] for row in small_rows([word], small_width(word, 3) or 1, 3, "text")]
    lines = text.splitlines()
    return any(
        all(part in lines[y + index] for index, part in enumerate(drawn)) for y in range(len(lines) - 2)
    )


def _whole(sentence: str, text: str) -> bool:
    """Return whether the sentence stands there uncut, over one line or several, in either letters."""
    return sentence in " ".join(text.split()) or reads(sentence, text)


@pytest.mark.parametrize(("columns", "rows"), [(30, 8), *SIZES])
def test_a_cyanide_process_says_so_first(columns: int, rows: int) -> None:
    """The first row of the screen has the word."""
    hand, now = _at("sensitise", 100.0, process=CYANIDE)
    text = text_of(bench_view(hand.bench, now), BenchStatus(), columns, rows)
    first = text.splitlines()[: 1 if columns != 60 else 4]
    assert any("CYANIDE" in row for row in first), text


@pytest.mark.parametrize(("columns", "rows"), SIZES)
def test_the_light_the_word_and_the_time_never_touch(columns: int, rows: int) -> None:
    """Between light and word a row has no large letters; between word and time half a row is free."""
    for state, made in STATES.items():
        hand, now = made()
        lines = text_of(bench_view(hand.bench, now), BenchStatus(), columns, rows).splitlines()
        top = max(3, rows // 10)
        gap = next(y for y in (1, top) if not set(lines[y]) & set("█▀▄"))
        assert not set(lines[gap]) & set("█▀▄"), state


def test_the_rail_begins_with_the_wet_plates() -> None:
    """Of the other plates the one with the least wet time left comes first, those that are not wet last."""
    hand, now = _at("wash", 400.0)
    view = bench_view(hand.bench, now)
    assert view.large is not None
    others = []
    for number, (stage, at) in enumerate((("fix", 330.0), ("drain", 250.0), ("exposed", 500.0)), 2):
        other = bench_view(_at(stage, at)[0].bench, at).large
        assert other is not None
        others.append(replace(other, number=number))
    drawn = text_of(replace(view, rail=tuple(others)), BenchStatus(), 120, 40)
    row = next(line for line in drawn.splitlines() if " 3 drain" in line)
    assert row.find(" 4 develop wet") < row.find(" 3 drain wet") < row.find(" 2 fix")
    assert " 4 develop wet" in row


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), (120, 40)])
def test_a_lesson_hides_nothing_it_may_speak_of(columns: int, rows: int) -> None:
    """Each lesson is whole, with the other plates, both times, what comes next and the keys on the screen."""
    hand, now = _at("exposed", 300.0)
    other = bench_view(_at("sensitise", 100.0)[0].bench, 100.0).large
    view = bench_view(hand.bench, now)
    assert other is not None and view.large is not None
    view = replace(view, rail=(replace(other, number=2),), rack=1)
    for lesson in LESSONS:
        for words in filter(None, (lesson.text, lesson.hint)):
            status = BenchStatus(lesson=f"1 of 15: {words}", keys=STATUSES["plain"].keys)
            drawn = text_of(view, status, columns, rows)
            told = " ".join(drawn.split())
            assert " ".join(words.split()) in told, drawn
            for seen in ("2 sensitise 2:20", "rack 1", "develop 0:15", "then stop", "escape: menu"):
                assert seen in told, drawn
