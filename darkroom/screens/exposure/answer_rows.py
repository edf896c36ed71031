"""The answer of the exposure page as rows: the time, its factors, what stands behind it. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from textwrap import wrap

from darkroom.exposure.factor_text import stops_text, times_text
from darkroom.exposure.factors import Factor
from darkroom.exposure.judged import LeftOut
from darkroom.exposure.learned import Learned
from darkroom.exposure.learned_text import plates_told
from darkroom.exposure.time_remarks import remarks
from darkroom.process.text.durations import show_short
from darkroom.process.text.plain_text import plain
from darkroom.screens.exposure.answer import Answer
from darkroom.screens.exposure.figures import curve_rows, interval_rows
from darkroom.screens.exposure.strip_figure import section_rows
from darkroom.screens.lettering import lettering
from darkroom.screens.lettering.lettering import Blocks
from darkroom.screens.widgets.rows import Row, clip, width
from darkroom.session.exposure_proposal import rounded, sentence

NO_TIME = "no time yet"
SMALL: dict[Blocks, int] = {"half": 4, "spaces": 5}
LARGE = 8
"""The rows of the time: at these its figures cannot be taken for one another."""
LABEL = 14
"""The cells of what is told of plates."""
STOPS, TIMES = 6, 8
"""The cells of a factor in stops and as a multiplier."""


def main_rows(answer: Answer, columns: int, roomy: bool, blocks: Blocks, waiting: bool) -> list[Row]:
    """Return the time in large figures, larger where the screen is `roomy`; what it is from, and its factors.

    While another answer is `waiting` to come the time stands hollow: it is that of what was asked before.
    """
    seconds = answer.seconds
    if seconds is None:
        rows: list[Row] = [[(NO_TIME, "loud")], *_sentences(answer.says, columns)]
    else:
        tall = LARGE if roomy else SMALL[blocks]
        rows = _large(show_short(rounded(seconds)), columns, tall, blocks, waiting)
    for text in _headline(answer):
        rows += _wrapped(text, columns, "loud")
    rows += interval_rows(answer, columns)
    return [*rows, [], *factor_rows(answer, columns)] if answer.planned is not None else rows


def _large(time: str, columns: int, tall: int, blocks: Blocks, outline: bool) -> list[Row]:
    """Return a time in large figures, its unit small beside them: there no letter is taken for a figure."""
    figures, _, unit = time.partition(" ")
    rows = lettering.rows(
        figures, columns, tall, blocks=blocks, align="left", meaning="text", outline=outline
    )
    if not unit:
        return rows
    cells = max(_used(row) for row in rows)
    last: Row = []
    for text, meaning in rows[-1]:
        last.append((text[:cells], meaning))
        cells = max(0, cells - len(text))
    return [*rows[:-1], [*last, (f" {unit}", "loud")]]


def _used(row: Row) -> int:
    """Return the cells of a row up to its last one that is drawn."""
    used = place = 0
    for text, meaning in row:
        place += width(text)
        drawn = text if meaning.endswith("reversed") else text.rstrip()
        used = place - len(text) + len(drawn) if drawn else used
    return used


def _headline(answer: Answer) -> list[str]:
    """Return what the time is from, in one sentence, and what a long one has."""
    source, learned = answer.question.source, answer.learned
    texts = []
    if source == "plates" and learned is not None and answer.planned is not None:
        texts.append(sentence(learned))
    elif answer.planned is not None:
        of_plate = ", ".join(filter(None, (answer.counted_from.partition(":")[0], answer.judged)))
        texts.append({"plate": of_plate, "meter": "by the meter", "sun": "by the sun"}[source])
        if learned is not None and learned.seconds is not None:
            texts.append(f"Your plates say {sentence(learned)}")
    if answer.seconds is not None:
        said = " ".join(remarks(answer.seconds, answer.question.wet))
        texts += [f"{said[:1].upper()}{said[1:]}"] if said else []
    return texts


def factor_rows(answer: Answer, columns: int) -> list[Row]:
    """Return a row for each factor, in stops and as a multiplier, and one for their sum."""
    planned = answer.planned
    if planned is None:
        return []
    rows: list[Row] = [[(clip(answer.counted_from, columns), "quiet")]]
    what = max((width(factor.what) for factor in planned.factors), default=0)
    for factor in planned.factors:
        rows.append(_factor(factor, what, columns, "text"))
    if not planned.factors:
        return [*rows, [("nothing changes it", "text")]]
    return [*rows, _factor(Factor(what="sum", how="", stops=planned.stops), what, columns, "loud")]


def _factor(factor: Factor, what: int, columns: int, kind: str) -> Row:
    stops, times = stops_text(factor.stops).removesuffix(" stops"), times_text(factor.stops)
    room = max(0, columns - what - 2 - STOPS - 2 - TIMES - 1)
    how = clip(factor.how, room)
    return [
        (f"{factor.what:<{what}}  ", kind),
        (how + " " * (room - width(how)), "quiet"),
        (f" {stops:>{STOPS}}  {times:>{TIMES}}", kind),
    ]


def further_rows(answer: Answer, columns: int, simple: bool) -> list[Row]:
    """Return the rest: what was assumed, what weighs and what does not fit, strips, the day's light."""
    sections = [
        _sentences(answer.says if answer.planned is not None else (), columns),
        plates_rows(answer.learned, answer.left_out, columns),
        section_rows(answer, columns),
        curve_rows(answer, columns, simple),
    ]
    return [row for section in sections if section for row in ([], *section)][1:]


def plates_rows(learned: Learned | None, left_out: Iterable[LeftOut], columns: int) -> list[Row]:
    """Return which plates weigh most, which do not fit or disagree, and which were left out."""
    if learned is None:
        return []
    rows: list[Row] = []
    for label, told in plates_told(learned, left_out):
        lines = wrap(plain(told), max(8, columns - LABEL))
        rows += [
            [(f"{'' if place else label:<{LABEL}}", "quiet"), (line, "text")]
            for place, line in enumerate(lines)
        ]
    return rows


def _sentences(texts: Iterable[str], columns: int) -> list[Row]:
    return [row for text in dict.fromkeys(texts) for row in _wrapped(text, columns, "text")]


def _wrapped(text: str, columns: int, kind: str) -> list[Row]:
    return [[(line, kind)] for line in wrap(plain(text), max(8, columns))]
