"""Reads the bench's letters back from the cells of a screen: small sentences, large words and times."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache

from darkroom.screens.lettering import lettering
from darkroom.screens.lettering.small_letters import SMALL_LETTERS_4, SMALL_LETTERS_5

_DOTS = {" ": "00", "▀": "10", "▄": "01", "█": "11"}
_SPACE = 3
"""So many empty columns of dots, at least, lie between two words."""


def small_text(screen: str) -> str:
    """Return the sentences that a screen shows in small letters, in capitals; a zero reads as O."""
    lines = screen.splitlines()
    told: list[str] = []
    y = 0
    while y < len(lines):
        for rows, face, free in ((3, SMALL_LETTERS_5, 1), (2, SMALL_LETTERS_4, 0)):
            text = _read(lines[y : y + rows], rows, _by_columns(tuple(face.items())), free)
            if text:
                told.append(text)
                y += rows - 1
                break
        y += 1
    return " ".join(told)


def reads(text: str, screen: str) -> bool:
    """Return whether the text stands on the screen, plain or in small letters."""
    return text in screen or _alike(text) in _alike(small_text(screen))


def _alike(text: str) -> str:
    """Return the text as small letters show it: in capitals, a zero like an O."""
    return text.upper().replace("0", "O")


@lru_cache(2)
def _by_columns(face: tuple[tuple[str, str], ...]) -> dict[tuple[str, ...], str]:
    letters = {}
    for letter, drawn in face:
        rows = drawn.replace("#", "1").replace(".", "0").split()
        letters.setdefault(tuple("".join(column) for column in zip(*rows, strict=True)), letter)
    return {columns: "O" if letter == "0" else letter for columns, letter in letters.items()}


def _read(lines: Sequence[str], rows: int, letters: dict[tuple[str, ...], str], free: int) -> str:
    """Return the text of some lines, or "" when they are not all letters of the face."""
    if len(lines) < rows or set("".join(lines)) - set(_DOTS) or not "".join(lines).strip():
        return ""
    width = max(map(len, lines))
    cells = [line.ljust(width) for line in lines]
    columns = ["".join(_DOTS[line[x]] for line in cells) for x in range(width)]
    if any("1" in column[:free] for column in columns):
        return ""
    text, run, empty = "", [], 0
    for column in [*(column[free:] for column in columns), "0"]:
        if "1" in column:
            text += " " if text and not run and empty >= _SPACE else ""
            empty = 0
            run.append(column)
            continue
        empty += 1
        if run:
            letter = letters.get(tuple(run))
            if letter is None:
                return ""
            text, run = text + letter, []
    return text if len(text) > 1 else ""


def large_text_is_shown(screen: str, text: str, columns: int, rows: range, *, squeezed: bool = False) -> bool:
    """Return whether a word or a time stands on the screen in large letters of one of these heights.

    `squeezed` letters of any width are looked for too.
    """
    lines = screen.splitlines()
    return any(_stands(lines, block) for block in _blocks(text, columns, rows, squeezed))


def _blocks(text: str, columns: int, rows: range, squeezed: bool) -> Iterator[list[str]]:
    for tall in rows:
        for below in (0, 1):
            weight = lettering.WEIGHT * 2 * tall / (2 * tall - below)
            natural = lettering.natural_width(text, 2 * tall - below, 1, weight)
            for outline in (False, True):
                least = lettering.least_width(text, tall) - 4 if squeezed else natural
                for cells in {columns - 2, *range(max(1, least), min(columns, natural) + 1)}:
                    drawn = lettering.render(text, cells, tall, outline=outline, weight=weight, below=below)
                    if not drawn.plain:
                        yield drawn.text.split("\n")


def time_is_shown(screen: str, text: str, columns: int, rows: int) -> bool:
    """Return whether a time stands on the screen in large digits: plain, hollow, framed, on a slab."""
    tall = lettering.digit_rows(columns, rows, text)
    beside = range(columns - 3 - columns // 4, columns - 9)  # of the wet time, whose name stands beside it
    for height, widths in ((tall, (columns - 2, *beside)), (tall - 2, (columns - 6,))):
        for style in ({}, {"outline": True}, {"inverse": True}):
            if _is_drawn(screen, text, widths, height, **style):
                return True
    return False


def light_is_shown(screen: str, word: str, columns: int) -> bool:
    """Return whether the light stands at the top of the screen in large letters."""
    top = "\n".join(screen.splitlines()[:10])
    return any(
        _is_drawn(top, word, range(12, columns), tall, outline=outline)
        for tall in range(3, 8)
        for outline in (False, True)
    )


def _is_drawn(screen: str, text: str, widths: Iterable[int], tall: int, **style: bool) -> bool:
    """Return whether the text stands on the screen, drawn in letters of a height within one of the widths."""
    tried: set[str] = set()
    for width in widths:
        drawn = lettering.render(text, width, tall, **style)  # type: ignore[arg-type]
        block = drawn.text.split("\n")
        left = min((len(row) - len(row.lstrip()) for row in block if row.strip()), default=0)
        key = "\n".join(row[left:].rstrip() for row in block)
        if drawn.plain or key in tried:
            continue
        tried.add(key)
        if _stands(screen.splitlines(), block):
            return True
    return False


def _stands(lines: Sequence[str], block: Sequence[str]) -> bool:
    """Return whether the block of signs, without its empty margins, stands on the lines."""
    left = min(len(row) - len(row.lstrip()) for row in block if row.strip())
    right = max(len(row.rstrip()) for row in block)
    cut = [row[left:right].ljust(right - left) for row in block]
    first = next(index for index, row in enumerate(cut) if row.strip())
    for y, line in enumerate(lines[: len(lines) - len(cut) + 1 + first]):
        x = line.find(cut[first].rstrip())
        while x >= 0:
            under = lines[y - first : y - first + len(cut)] if y >= first else []
            around = [row.ljust(x + right - left)[x : x + right - left] for row in under]
            if around == cut:
                return True
            x = line.find(cut[first].rstrip(), x + 1)
    return False
