"""Why a plate failed, as rows of its page, and how it differs from the nearest good one. Pure."""

from __future__ import annotations

from collections.abc import Iterator

from darkroom.faults.answer import Why
from darkroom.faults.catalogue import Catalogue
from darkroom.faults.laid_out import laid_out
from darkroom.faults.words import Kind, lines
from darkroom.log.catalogue.plate_faults import MOST_DIFFERENCES, PlateWhy
from darkroom.log.plate.comparison import Difference, shown
from darkroom.process.text.plain_text import plain
from darkroom.screens.log_plate.plate_text import WHY
from darkroom.screens.widgets.rows import Row, clip, width
from darkroom.screens.widgets.wrapped_text import wrapped

LOOKING = "looking …"
_LOUD: tuple[Kind, ...] = ("fault", "cause", "advice", "caution")
_QUIET: tuple[Kind, ...] = ("tally", "neither", "silent", "unanswered", "usual", "unknown")
KEYS = "j answers the questions and tells what a test showed; c confirms a cause"


def why_rows(answer: PlateWhy | None, catalogue: Catalogue, columns: int) -> Iterator[Row]:
    """Yield the rows; while the answer is looked for (None) they say that."""
    yield []
    yield [(WHY, "loud")]
    if answer is None:
        yield [(LOOKING, "quiet")]
        return
    if answer.why is None:
        yield from _words(answer.trouble or "nothing is known of it", columns)
        return
    for kind, text in laid_out(lines(answer.why, catalogue), columns, width):
        yield [(clip(text, columns), _meaning(kind))]
    if answer.why.causes:
        yield from _words(KEYS, columns)
    elif answer.why.unknown:
        yield from _words("Nothing is inferred from your own words: j names a fault of the list.", columns)
    yield from _differences(answer, columns)


def advised_tests(answer: PlateWhy | None, catalogue: Catalogue) -> tuple[str, ...]:
    """Return what the test says to do that is advised, if one is."""
    why: Why | None = None if answer is None else answer.why
    if why is None or why.advice is None or why.advice.kind != "test" or why.advice.cause is None:
        return ()
    cause = catalogue.causes.get(why.advice.cause)
    return () if cause is None or cause.test is None else (cause.test.do,)


def _meaning(kind: Kind) -> str:
    return "loud" if kind in _LOUD else "quiet" if kind in _QUIET else "text"


def _words(text: str, columns: int) -> Iterator[Row]:
    yield from ([(line, "quiet")] for line in wrapped(text, columns))


def _differences(answer: PlateWhy, columns: int) -> Iterator[Row]:
    """Yield a table of what differs most from the nearest good plate."""
    if answer.why is None or answer.good_title is None:
        return
    good = plain(answer.good_title).lower()
    yield []
    if not answer.differences:
        yield from _words(f"No difference from {good}, the nearest good one, is recorded.", columns)
        return
    told = answer.differences[:MOST_DIFFERENCES]
    cells = [("against the nearest good one", f"plate {answer.why.number}", good), *map(_cells, told)]
    label_cells = min(max(width(row[0]) for row in cells), max(6, columns // 2 - 4))
    value_cells = max(4, (columns - label_cells - 4) // 2)
    first_cells = min(value_cells, max(width(row[1]) for row in cells))
    for place, (label, first, second) in enumerate(cells):
        yield [
            (_padded(label, label_cells) + "  ", "quiet"),
            (_padded(first, first_cells) + "  ", "text" if place else "quiet"),
            (clip(second, value_cells), "text" if place else "quiet"),
        ]
    left = len(answer.differences) - len(told)
    if left > 0:
        yield from _words(f"and {left} more: F5 in the log puts the two side by side", columns)


def _cells(difference: Difference) -> tuple[str, str, str]:
    return (
        plain(difference.what),
        plain(shown(difference.first, difference.unit)),
        plain(shown(difference.second, difference.unit)),
    )


def _padded(text: str, cells: int) -> str:
    text = clip(text, cells)
    return text + " " * (cells - width(text))
