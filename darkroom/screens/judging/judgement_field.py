"""One field of a judgement: what it is about, its hint, its check and what it offers. Pure."""

from __future__ import annotations

from darkroom.bench.steps import TOLD_OPEN
from darkroom.log.plate.picture import KEY as PICTURE
from darkroom.log.review.corrections import LONGEST, text_of
from darkroom.log.review.judgement import FaultLine
from darkroom.screens.judging.field_texts import CHECKS, FIRST_SEEN
from darkroom.screens.log_list.plate_rows import stars_words
from darkroom.screens.widgets.form import Field

STARS = ("", "0", "1", "2", "3", "4", "5")
HINTS = {
    "stars": "Left and right, or 0 to 5. Empty: not judged.",
    "stops": "The next plate: +1 twice the light, -1/2 less, 0 as it was; or more, right, less.",
    "strip": "The best strip of a test plate: 1, 2, 3 …",
    "contrast": "In words: flat, full, harsh.",
    "next": "What to change next time; it stands on the home screen before the next plate.",
    PICTURE: "The path of a scan on this computer; it is shown with the plate, in reports and on its label.",
    FIRST_SEEN: "From the developer on until the image first showed: 4 s. It tells why a plate failed.",
    TOLD_OPEN: "Nobody saw when the cap went on: how long was the lens open? 9 s, 1:10.",
    "mark": "what happened? Left and right choose; or type words of your own, they are kept.",
    "fault": "Space lists all faults and how they look; or type its name. Empty takes it away.",
    "where": "Space lists the places; or type one of your own.",
    "asked": "",
    "tested": "",
    "cause": "What it came from, once you know it: it counts for the next plates. Space lists the causes.",
    "else": "None: its faults are marked, and all others of the list were looked for. Left and right choose.",
    "detail": "Anything else, as key = value. Empty takes it away.",
    "note": "Words about the plate. Empty takes it away.",
    "reason": "Why something that stood is changed; it stands beside the correction.",
}


class JudgementField(Field, eq=False):
    """One field of a judgement: `line` is the number of the journal's line that its value came from.

    `about` is the number of the line of the mark that it is about, `of` the id of the fault's field that it
    belongs to, `key` the question, or what a test says to do. `stood` is the fault that stood in a fault's
    field.
    """

    kind: str = ""
    line: int | None = None
    about: int = 0
    of: str = ""
    key: str = ""
    stood: FaultLine | None = None


def field_for(name: str, kind: str, label: str, value: str, line: int | None = None) -> JudgementField:
    """Return the field of this id with what stands in it."""
    entry = JudgementField(
        name,
        label,
        HINTS[kind],
        value,
        value,
        kind=kind,
        line=line,
        max_length=LONGEST,
        check=CHECKS.get(kind, text_of),
    )
    if kind == "stars":
        entry.options, entry.closed, entry.show, entry.empty = STARS, True, _shown_stars, "not judged"
    elif kind == "else":
        entry.options, entry.closed, entry.check = ("", "yes"), True, None
        entry.show, entry.empty = _shown_else, "not looked for"
        entry.assumed = entry.empty
    return entry


def _shown_stars(value: str) -> str:
    return f"{value} of 5 {stars_words(int(value))}"


def _shown_else(value: str) -> str:
    return "none, I looked for all"
