"""A frame holds the cells that differ, and the terminal shows what a whole frame would have shown."""

from __future__ import annotations

import pyte
import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.color import ColorSystem
from rich.console import Console
from rich.segment import Segment
from rich.style import Style
from textual._compositor import ChopsUpdate, InlineUpdate, LayoutUpdate
from textual.geometry import Region
from textual.strip import Strip

from darkroom.screens.red.shown_cells import HEAL_EVERY, ShownCells, cells_of
from tests.kit.clocks import HandClock

COLUMNS, ROWS = 24, 5
CONSOLE = Console(color_system="truecolor", force_terminal=True, width=COLUMNS)
STYLES = [Style.parse(f"rgb({red},0,0) on black") for red in (95, 175, 255)] + [
    Style.parse("bold rgb(255,0,0) on rgb(95,0,0)")
]
PIECES = st.tuples(st.sampled_from(["a", "b ", "█▀", "水", "é", "▄", "word", "   "]), st.sampled_from(STYLES))


def strip(pieces: list[tuple[str, Style]], width: int) -> Strip:
    """Return a strip of exactly `width` cells."""
    return Strip([Segment(text, style) for text, style in pieces]).adjust_cell_length(width, STYLES[0])


def rows(texts: list[str]) -> LayoutUpdate:
    """Return an update of rows of one colour."""
    strips = [[strip([(text, STYLES[0])], COLUMNS)] for text in texts]
    return LayoutUpdate(strips, Region(0, 0, COLUMNS, len(texts)))  # type: ignore[arg-type]


class Shown:
    """What a terminal shows of what was sent."""

    def __init__(self) -> None:
        self.screen = pyte.Screen(COLUMNS, ROWS)
        self._stream = pyte.Stream(self.screen)

    def take(self, text: str) -> None:
        """Show more."""
        self._stream.feed(text)

    def cells(self) -> list[list[tuple[str, str, str, bool]]]:
        """Return each cell with its colours."""
        return [
            [
                (char.data, char.fg, char.bg, char.bold)
                for char in (self.screen.buffer[y][x] for x in range(COLUMNS))
            ]
            for y in range(ROWS)
        ]


UPDATES = st.lists(
    st.one_of(
        st.lists(st.lists(PIECES, max_size=9), min_size=ROWS, max_size=ROWS),
        st.tuples(
            st.integers(0, ROWS - 1),
            st.integers(0, COLUMNS - 2),
            st.integers(1, 12),
            st.lists(PIECES, max_size=5),
        ),
    ),
    max_size=8,
)


@given(UPDATES)
def test_changes_show_what_whole_frames_show(updates: list[object]) -> None:
    """Whatever is painted after whatever, in rows or in parts of a row, both terminals are the same."""
    changed, whole = Shown(), Shown()
    clock = HandClock()
    shown = ShownCells(clock.up)
    for one in updates:
        clock.move(0.6)
        if isinstance(one, list):
            strips = [[strip(pieces, COLUMNS)] for pieces in one]
            update = LayoutUpdate(strips, Region(0, 0, COLUMNS, ROWS))  # type: ignore[arg-type]
        else:
            y, x, width, pieces = one  # type: ignore[misc]
            width = min(width, COLUMNS - x)
            chops = [{x: strip(pieces, width)} if row == y else {} for row in range(ROWS)]
            update = ChopsUpdate(chops, [(y, x, x + width)], [[x + width] for _ in range(ROWS)])  # type: ignore[assignment]
        # a wide character half painted over differs between terminals: both begin from the same bytes there
        changed.take(shown.changes(update, CONSOLE))
        whole.take(update.render_segments(CONSOLE).replace("\n", ""))
    if not any("水" in str(one) for one in updates):
        assert changed.cells() == whole.cells()
    assert shown.changes(update, CONSOLE) == "" if updates else True


def test_the_same_again_sends_nothing() -> None:
    """The same text, from other objects, is no change."""
    shown = ShownCells(HandClock().up)
    assert "first" in shown.changes(rows(["first", "second"]), CONSOLE)
    assert shown.changes(rows(["first", "second"]), CONSOLE) == ""


def test_one_digit_sends_one_digit() -> None:
    """Of a row of which one character changes that character is sent, its place and its colour."""
    shown = ShownCells(HandClock().up)
    shown.changes(rows(["time 0:01", "x"]), CONSOLE)
    sent = shown.changes(rows(["time 0:02", "x"]), CONSOLE)
    assert sent == "\x1b[1;9H\x1b[0;38;2;95;0;0;40m2\x1b[0m"


def test_a_wide_character_is_sent_whole() -> None:
    """Where a wide character takes the place of two, or two take its place, both cells are sent."""
    shown, terminal = ShownCells(HandClock().up), Shown()
    for text in ("ab水d", "abcxd", "a水 d", "a水bd"):
        terminal.take(shown.changes(rows([text]), CONSOLE))
        assert terminal.screen.display[0].replace(" ", "")[:5] == text.replace(" ", "")


def test_what_follows_a_changed_wide_character_stands_in_its_column() -> None:
    """Of two wide characters the second cells are alike; what changes further on is not a column off."""
    shown, terminal = ShownCells(HandClock().up), Shown()
    for text in ("ab水cdefghij klm", "ab火cdefghij klX", "ab水cdefghij klY"):
        terminal.take(shown.changes(rows([text]), CONSOLE))
        assert terminal.screen.display[0].rstrip() == text


def test_a_character_of_uncertain_width_moves_nothing_else() -> None:
    """After a letter with marks, or letters that are joined, the column of the next is said."""
    sent = ShownCells(HandClock().up).changes(rows(["ae\u0301b", "क\u200dष x"]), CONSOLE)
    assert "e\u0301\x1b[1;3Hb" in sent
    assert "क\u200dष\x1b[2;2H x" in sent


@pytest.mark.parametrize(
    "text",
    ["水", "e\u0301", "क\u200dषि", "\u0301", "مَر\u200dح", "❤\ufe0f", "👨\u200d👩\u200d👧", "🙂🏽", "🇩🇪"],
)
def test_a_text_has_as_many_cells_as_the_toolkit_measures(text: str) -> None:
    """Whatever a plate is called, what stands beside the name stays in its column."""
    assert len(cells_of(Strip([Segment(text, STYLES[0])]), ColorSystem.TRUECOLOR)) == cell_len(text)


def test_after_forgetting_everything_is_sent() -> None:
    """What may have been missed is sent again."""
    shown = ShownCells(HandClock().up)
    first = shown.changes(rows(["one", "two"]), CONSOLE)
    shown.forget()
    assert shown.changes(rows(["one", "two"]), CONSOLE) == first


def test_a_frame_heals_one_row_a_second() -> None:
    """What another program wrote over a row is painted over when frames have gone by, a row a second."""
    clock = HandClock()
    shown, terminal = ShownCells(clock.up), Shown()
    texts = ["0", "one", "two", "three", "four"]
    terminal.take(shown.changes(rows(texts), CONSOLE))
    for y in range(1, ROWS):
        terminal.take(f"\x1b[{y + 1};1Hkernel: noise")
    for second in range(1, ROWS + 2):
        clock.move(HEAL_EVERY)
        terminal.take(shown.changes(rows([str(second), *texts[1:]]), CONSOLE))
    assert [line.strip() for line in terminal.screen.display] == ["6", *texts[1:]]


def test_cells_of_a_strip() -> None:
    """A wide character has two cells, the second empty; a combining mark belongs to its character."""
    cells = cells_of(Strip([Segment("a水é", STYLES[0])]), ColorSystem.TRUECOLOR)
    assert [character for character, _ in cells] == ["a", "水", "", "é"]


def test_an_update_of_another_kind_is_refused() -> None:
    """What the toolkit paints in a mode that is not ours is not taken for nothing."""
    with pytest.raises(TypeError):
        ShownCells().changes(InlineUpdate([]), CONSOLE)
