"""What the terminal shows, cell by cell, so that a frame holds only what differs from it.

The toolkit paints whole widgets, and everything under a dialog with it. Over a slow line each cell that is
sent again delays those that matter, and an idle screen must send nothing. Whatever may have changed the
terminal behind our back (missed frames, new colours, another size) calls `forget`.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator

from rich.cells import get_character_cell_size, split_graphemes
from rich.color import ColorSystem
from rich.console import Console
from textual._compositor import ChopsUpdate, CompositorUpdate, LayoutUpdate
from textual.strip import Strip

Cell = tuple[str, str]
"""(character, parameters of its SGR sequence); the second cell of a wide character has an empty character."""
SHORTEST_GAP = 4
"""So many unchanged cells are passed over rather than sent again: moving the cursor takes four bytes."""
HEAL_EVERY = 1.0
"""Seconds after which a frame takes one more row with it, each in turn, as it is: what another program has
written over the screen (a message of the kernel) is gone after as many seconds as there are rows."""


class ShownCells:
    """The cells of the terminal as far as they are known; `changes` returns what makes them right."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        """Begin with a terminal of which nothing is known; `clock` gives seconds."""
        self._clock = clock
        self._rows: dict[int, list[Cell | None]] = {}
        self._strips: dict[int, dict[int, tuple[int, Strip]]] = {}
        self._healed_row, self._healed_at = -1, clock()

    def forget(self) -> None:
        """Know nothing: the next frame is sent whole."""
        self._rows.clear()
        self._strips.clear()

    def changes(self, update: CompositorUpdate, console: Console) -> str:
        """Return what to send so that the terminal shows what `update` paints; "" when it does already.

        Raises TypeError for an update that the compositor does not make in full-screen mode.
        """
        system = console._color_system or ColorSystem.TRUECOLOR
        sent = _Sent()
        for y, x, strip in placed_strips(update):
            known = self._strips.setdefault(y, {})
            if (before := known.get(x)) is not None and before[1] is strip:
                continue
            cells = cells_of(strip, system)
            end = x + len(cells)
            for start in [start for start, (stop, _) in known.items() if start < end and stop > x]:
                del known[start]
            known[x] = end, strip
            self._send_changed(sent, y, x, cells)
        if sent.pieces:
            self._heal(sent)
        return sent.text()

    def _send_changed(self, sent: _Sent, y: int, x: int, cells: list[Cell]) -> None:
        row = self._rows.setdefault(y, [])
        if len(row) < x + len(cells):
            row.extend([None] * (x + len(cells) - len(row)))
        before = row[x : x + len(cells)]
        if before == cells:
            return
        row[x : x + len(cells)] = cells
        for first, last in changed_runs(before, cells):
            sent.run(y, x + first, cells[first:last])

    def _heal(self, sent: _Sent) -> None:
        """Send one more row as it is, when it is due."""
        now = self._clock()
        if now - self._healed_at < HEAL_EVERY:
            return
        self._healed_at = now
        self._healed_row = next((y for y in sorted(self._rows) if y > self._healed_row), 0)
        row = self._rows.get(self._healed_row, [])
        known = [cell for cell in row if cell is not None]
        if row and len(known) == len(row):
            sent.run(self._healed_row, 0, known)


class _Sent:
    """A frame as it is put together: cursor movements, colours where they change, characters."""

    def __init__(self) -> None:
        self.pieces: list[str] = []
        self._colour: str | None = None
        self._at: tuple[int, int] | None = None

    def run(self, y: int, x: int, cells: list[Cell]) -> None:
        """Add cells that stand beside each other, from column `x` of row `y` on."""
        if self._at is not None and self._at[0] == y and x > self._at[1]:
            self.pieces.append(f"\x1b[{x - self._at[1]}C")
        elif self._at != (y, x):
            self.pieces.append(f"\x1b[{y + 1};{x + 1}H")
        is_sure = True
        for column, (character, colour) in enumerate(cells, x):
            if not is_sure and character:  # terminals differ in how wide such a character is
                self.pieces.append(f"\x1b[{y + 1};{column + 1}H")
                is_sure = True
            if colour != self._colour:
                self._colour = colour
                self.pieces.append(f"\x1b[0;{colour}m" if colour else "\x1b[0m")
            self.pieces.append(character)
            is_sure = is_sure and len(character) < 2
        self._at = (y, x + len(cells)) if is_sure else None

    def text(self) -> str:
        """Return the frame; no colour stands after it."""
        return "".join([*self.pieces, "\x1b[0m"]) if self.pieces else ""


class Changes(CompositorUpdate):
    """A frame that is put together already."""

    def __init__(self, text: str) -> None:
        """Take the text to send."""
        self._text = text

    def render_segments(self, console: Console) -> str:
        """Return the text."""
        return self._text


def placed_strips(update: CompositorUpdate) -> Iterator[tuple[int, int, Strip]]:
    """Yield (row, column, strip) of what an update paints, as its own `render_segments` places it."""
    if isinstance(update, LayoutUpdate):
        for y, strips in enumerate(update.strips, update.region.y):
            x = update.region.x
            for strip in strips:
                yield y, x, strip
                x += strip.cell_length
    elif isinstance(update, ChopsUpdate):
        for y, x1, x2 in update.spans:
            for end, (x, chop) in zip(update.chop_ends[y], update.chops[y].items(), strict=False):
                if chop is not None and x <= x2 and end > x1:
                    yield y, x, chop if x1 <= x < x2 and end <= x2 else chop.crop(0, min(end, x2) - x)
    else:
        raise TypeError(f"no cells in {type(update).__name__}")


def cells_of(strip: Strip, system: ColorSystem) -> list[Cell]:
    """Return the cells that a strip fills."""
    cells: list[Cell] = []
    for text, style, _ in strip:
        colour = Strip.render_ansi(style, system) if style is not None else ""
        if text.isascii():
            cells.extend([(character, colour) for character in text])
            continue
        for character, size in _characters(text):
            if size:
                cells.append((character, colour))
                cells.extend([("", colour)] * (size - 1))
            elif cells:  # a combining mark belongs to the character before it
                at = len(cells) - 1 - (cells[-1][0] == "")
                cells[at] = cells[at][0] + character, cells[at][1]
    return cells


def _characters(text: str) -> Iterator[tuple[str, int]]:
    """Yield (character, cells) as the toolkit measures them: joined ones have the first one's width."""
    if "\u200d" in text or "\ufe0f" in text:
        for start, end, size in split_graphemes(text)[0]:
            yield text[start:end], size
    else:
        for character in text:
            yield character, get_character_cell_size(character)


def changed_runs(before: list[Cell | None], cells: list[Cell]) -> Iterator[tuple[int, int]]:
    """Yield (first, behind the last) of each run of cells that differ; short gaps of one colour are within.

    No run begins at the second cell of a wide character or ends at its first.
    """
    first = last = -1
    for at, (old, new) in enumerate(zip(before, cells, strict=True)):
        if old == new:
            continue
        start = at - 1 if not new[0] and at else at
        end = at + 2 if at + 1 < len(cells) and not cells[at + 1][0] else at + 1
        if first >= 0 and (
            start - last < SHORTEST_GAP and all(cell[1] == cells[last - 1][1] for cell in cells[last:start])
        ):
            last = max(last, end)
            continue
        if first >= 0:
            yield first, last
        first, last = max(start, last, 0), end
    if first >= 0:
        yield first, last
