"""Why a plate failed, told in lines: the one text of command, page and report. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Literal

import msgspec

from darkroom.faults.answer import Advice, FaultTally, Likely, Weighed, Why
from darkroom.faults.answered import given_in, unanswered
from darkroom.faults.catalogue import Catalogue
from darkroom.faults.evidence_names import BY_NAME
from darkroom.faults.since_words import began_text, since_text
from darkroom.faults.usual import FEWEST
from darkroom.faults.weight_words import Strength, strength
from darkroom.process.text.plain_text import plain
from darkroom.process.uses import role_text

MOST_SHOWN = 4
"""So many causes are told at most."""
LEAST_SHOWN = 0.05
"""A cause less likely than this is not told; the likeliest always is."""
LONGEST_WORDS = 120
"""So many signs of the photographer's own words are told; the plate's page and `log show` have them whole."""
_STRENGTHS: dict[Strength, str] = {"hardly": "says little", "plainly": ""}
"""What is told of a weight where it is not its own word."""

Kind = Literal[
    "fault", "looks", "began", "tally", "usual", "cause", "confirmed", "for", "against", "neither", "silent",
    "unanswered", "none", "advice", "caution", "unknown",
]  # fmt: skip
"""What a line is: a "cause", the likeliest first, has the lines of its reasons below it."""


class Line(msgspec.Struct, frozen=True, kw_only=True):
    """One line: what it is, its words, and how strong it is: "strongly", "about 65 %", or nothing."""

    kind: Kind
    text: str
    strength: str = ""


def lines(why: Why, catalogue: Catalogue) -> list[Line]:
    """Return all that is told of a plate, in order: since when, the causes and their reasons, one advice.

    A plate without a fault gives no line. Signs that a screen cannot show are taken out.
    """
    told = [*_faults(why, catalogue), *_causes(why, catalogue), *_advice(why, catalogue), *_unknown(why)]
    return [msgspec.structs.replace(line, text=plain(line.text)) for line in told]


def home_advice(why: Why, catalogue: Catalogue) -> str:
    """Return one sentence for before the next plate: "since plate 31: general fog; cool the developer".

    "" where the plate has no fault that the catalogue holds. Of several faults those are named that the
    advice is for. What alters a bottle stands there after its own test alone; where something can hurt, the
    sentence says where its cautions stand.
    """
    if why.advice is None:
        return ""
    marked = dict.fromkeys(mark.name for mark in why.faults if mark.name in catalogue.faults)
    cause = why.advice.cause
    meant = [name for name in marked if cause in catalogue.faults[name].causes] or list(marked)
    labels = ", ".join(catalogue.faults[name].label for name in meant)
    since = min((run.number for run in why.began if run.fault in meant), default=why.number)
    do = why.advice.do.rstrip(".")
    lead = {"change": "", "test": "test first: ", "note": ""}[why.advice.kind]
    cautions = f" (cautions: darkroom fault why {why.number})" if why.advice.cautions else ""
    return plain(f"since plate {since}: {labels}; {lead}{_lower(do)}{cautions}")


def chance_text(chance: float) -> str:
    """Return a chance rounded to 5 %: "about 65 %"; "under 5 %" and "over 95 %" at the ends."""
    if chance < 0.05:
        return "under 5 %"
    if chance > 0.95:
        return "over 95 %"
    return f"about {_rounded(chance)} %"


def _rounded(chance: float) -> int:
    """Return a chance in per cent, to the nearest five."""
    return 5 * int(20 * chance + 0.5)


def strength_text(decibans: float) -> str:
    """Return how strongly so many decibans speak, for or against."""
    word = strength(decibans)
    return _STRENGTHS.get(word, word)


def _faults(why: Why, catalogue: Catalogue) -> Iterator[Line]:
    runs = {run.fault: run for run in why.began}
    places: dict[str, list[str]] = {}
    confirmed: dict[str, str] = {}
    for mark in why.faults:
        if mark.name in catalogue.faults:
            places.setdefault(mark.name, []).extend([mark.where] if mark.where else [])
            if mark.cause:
                confirmed[mark.name] = mark.cause
    for name, where in places.items():
        told = (catalogue.faults[name].label, *map(_short, dict.fromkeys(where)))
        yield Line(kind="fault", text=", ".join(told))
        if name in runs:
            yield Line(kind="began", text=_upper(began_text(runs[name])) + ".")
        for kind, rows in groupby(_of_fault(why, name), key=lambda row: row.kind):
            yield Line(kind="tally", text=_tally_text(kind, list(rows)))
        yield from (Line(kind="tally", text=since_text(each)) for each in why.since if each.fault == name)
        if name in confirmed:
            cause = catalogue.cause(confirmed[name])
            label = _short(confirmed[name]) if cause is None else cause.label
            yield Line(kind="confirmed", text=f"You confirmed: {label}.")


def _of_fault(why: Why, fault: str) -> list[FaultTally]:
    """Return a fault's tallies, each kind's rows together, in the order in which the kinds come first."""
    rows = [row for row in why.tallies if row.fault == fault]
    kinds = list(dict.fromkeys(row.kind for row in rows))
    return sorted(rows, key=lambda row: kinds.index(row.kind))


def _tally_text(kind: str, rows: list[FaultTally]) -> str:
    told = (f"{row.name} {row.having} with, {row.lacking} without" for row in rows)
    return f"{role_text(kind)}: {'; '.join(told)}"


def _causes(why: Why, catalogue: Catalogue) -> Iterator[Line]:
    said = _said_of(why, catalogue)
    # what the photographer says stands first, whatever its chance
    in_order = sorted(why.causes, key=lambda likely: likely.cause not in said)
    shown = [
        likely
        for place, likely in enumerate(in_order[:MOST_SHOWN])
        if not place or likely.cause in said or likely.chance >= LEAST_SHOWN
    ]
    for likely in shown:
        told = (
            f"{likely.label} (you confirmed it{said[likely.cause]})" if likely.cause in said else likely.label
        )
        yield Line(kind="cause", text=told, strength=chance_text(likely.chance))
        yield from _reasons(likely)
    if why.causes:
        text = "none of these" if len(shown) == len(why.causes) else "no cause of the catalogue"
        yield Line(kind="none", text=text, strength=chance_text(why.none))
    for question in unanswered(catalogue, _known(why, catalogue), given_in(why.faults)):
        yield Line(kind="unanswered", text=f"not answered: {question}")
    told_chances = [_rounded(chance) for chance in (*(likely.chance for likely in shown), why.none)]
    if len(shown) > 1 and sum(told_chances) > 100:
        yield Line(kind="usual", text="More than one may be at work at once.")
    missing = any(name.endswith("over usual") for likely in shown for name in likely.silent)
    if missing and why.usual_plates < FEWEST:
        plates = {0: "no plate", 1: "1 plate"}.get(why.usual_plates, f"{why.usual_plates} plates")
        text = f"Too few plates of this process for what is usual: {plates} before, {FEWEST} are needed."
        yield Line(kind="usual", text=text)


def _said_of(why: Why, catalogue: Catalogue) -> dict[str, str]:
    """Return {cause confirmed on this plate: of which of several faults, " of general fog", else ""}."""
    labels: dict[str, dict[str, None]] = {}
    for mark in why.faults:
        cause = catalogue.cause(mark.cause) if mark.cause and mark.name in catalogue.faults else None
        if cause is not None:
            labels.setdefault(cause.id, {})[catalogue.faults[mark.name].label] = None
    several = len(_known(why, catalogue)) > 1
    return {cause: f" of {_listed(list(faults))}" if several else "" for cause, faults in labels.items()}


def _known(why: Why, catalogue: Catalogue) -> tuple[str, ...]:
    return tuple(dict.fromkeys(mark.name for mark in why.faults if mark.name in catalogue.faults))


def _listed(names: Sequence[str]) -> str:
    return " and ".join((", ".join(names[:-1]), names[-1])) if len(names) > 1 else names[0]


def _reasons(likely: Likely) -> Iterator[Line]:
    for side in ("for", "against", "neither"):
        for weighed in likely.evidence:
            if _side(weighed) == side:
                yield Line(kind=_side(weighed), text=weighed.says, strength=strength_text(weighed.decibans))
    yield from _silent(likely.silent)
    if likely.confirmed:
        plates = "1 of your plates" if likely.confirmed == 1 else f"{likely.confirmed} of your plates"
        yield Line(kind="confirmed", text=f"confirmed on {plates}")


def _silent(names: Sequence[str]) -> Iterator[Line]:
    """Yield what the record does not hold of the plate, and what other plates do not tell yet."""
    of_plate = [BY_NAME[name].told for name in names if not BY_NAME[name].about_fault]
    of_others = [BY_NAME[name].told for name in names if BY_NAME[name].about_fault]
    if of_plate:
        yield Line(kind="silent", text=f"not recorded: {'; '.join(of_plate)}")
    if of_others:
        yield Line(kind="silent", text=f"not known yet: {'; '.join(of_others)}")


def _side(weighed: Weighed) -> Literal["for", "against", "neither"]:
    if strength(weighed.decibans) == "hardly":
        return "neither"
    return "for" if weighed.decibans > 0 else "against"


def _advice(why: Why, catalogue: Catalogue) -> Iterator[Line]:
    advice = why.advice
    if advice is None:
        return
    lead = {"change": "Change one thing", "test": "Test first", "note": ""}[advice.kind]
    text = f"{lead}{_meant(why, advice, catalogue)}: {_lower(advice.do)}" if lead else advice.do
    if advice.kind == "test":
        text = f"{text.rstrip('.')}. Then note in the judging form: shown or absent."
    yield Line(kind="advice", text=text)
    for caution in advice.cautions:
        yield Line(kind="caution", text=caution)


def _meant(why: Why, advice: Advice, catalogue: Catalogue) -> str:
    """Return what the advice goes by, where that is not the chances of all the plate's faults.

    It is a cause that the photographer confirmed: " (you confirmed dusty air)", or a cause of some of
    several faults: " (for finger marks)".
    """
    cause = catalogue.causes.get(advice.cause or "")
    if cause is None:
        return ""
    said = _said_of(why, catalogue)
    if cause.id in said:
        return f" (you confirmed {cause.label}{said[cause.id]})"
    known = _known(why, catalogue)
    meant = [catalogue.faults[name].label for name in known if cause.id in catalogue.faults[name].causes]
    return f" (for {_listed(meant)})" if 0 < len(meant) < len(known) else ""


def _unknown(why: Why) -> Iterator[Line]:
    if why.unknown:
        yield Line(kind="unknown", text=f"not in the catalogue: {', '.join(map(_short, why.unknown))}")


def _short(words: str) -> str:
    return words if len(words) <= LONGEST_WORDS else words[: LONGEST_WORDS - 1] + "…"


def _lower(text: str) -> str:
    """Return a sentence to stand within another; a word in capitals keeps them."""
    return text if text[1:2].isupper() else text[:1].lower() + text[1:]


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]
