"""`darkroom log rate`: a plate judged afterwards, and corrected."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from darkroom.commands.groups import NAME_OR_PATH
from darkroom.commands.log.judgement_lines import CORRECTING, add, correcting, text_of
from darkroom.commands.log.shared import A_PLATE, find, rehearsals_option
from darkroom.commands.output import NOT_RED
from darkroom.errors import WrongUse

if TYPE_CHECKING:
    from pathlib import Path

    from darkroom.bench.events import ExposureWord
    from darkroom.commands.log.rate_faults import RatedFaults


@click.command(
    help="Judge a plate that is not on the bench.\n\n"
    f"{A_PLATE} {CORRECTING} --corrects alone withdraws a line.\n\n"
    'Example: darkroom log rate 12 --stars 4 --exposure-stops +1/2 --fault "fog@left edge"\n\n'
    'Example: darkroom log rate 31 --fault "general fog" --answer "under the holder\'s edge=yes" '
    "--nothing-else\n\n"
    'Example: darkroom log rate 31 --cause "developer too warm"\n\n'
    f'Example: darkroom log rate 12 --corrects 34 --stars 3 --reason "seen by daylight"\n\n{NOT_RED}'
)
@click.argument("plate")
@click.option("--stars", type=click.IntRange(0, 5), metavar="N", help="0 to 5.")
@click.option(
    "--exposure-stops",
    "stops",
    metavar="X",
    help="What the next plate should get, in stops: +1 is twice the light, -1/2 less. Of a test plate "
    "it counts from the best strip.",
)
@click.option(
    "--exposure-word",
    "word",
    type=click.Choice(["more", "right", "less"]),
    help="The same in a word: half a stop more, as it was, half a stop less.",
)
@click.option("--best-strip", type=click.IntRange(1, 99), metavar="N", help="The best strip of a test plate.")
@click.option(
    "--fault",
    "faults",
    multiple=True,
    metavar="NAME[@WHERE]",
    help="A fault of darkroom fault list, and where; other words are kept too. Repeatable.",
)
@click.option(
    "--cause",
    metavar="CAUSE",
    help="What you found it came from: a cause of darkroom fault show, or 'none of these'. It is of the one "
    "--fault, of the line of --corrects, or of the plate's only fault, in every place where it is.",
)
@click.option(
    "--answer",
    "answers",
    multiple=True,
    metavar="QUESTION=ANSWER",
    help="An answer about that fault: a question of darkroom fault show, or words of it, and yes or no; of a "
    "test that you made, shown or absent. Repeatable.",
)
@click.option(
    "--nothing-else",
    is_flag=True,
    help="You looked for every fault of the list, and there is no other on the plate.",
)
@click.option("--contrast", metavar="TEXT", help="The contrast, in words.")
@click.option("--next", "change_next_time", metavar="TEXT", help="What to change next time.")
@click.option(
    "--picture",
    type=NAME_OR_PATH,
    metavar="PATH",
    help="A scan of the plate on this computer, for its page, report and label.",
)
@click.option("--scan", metavar="TEXT", help="Where a scan lies that is not on this computer.")
@click.option("--detail", "details", multiple=True, metavar="KEY=VALUE", help="Any other detail. Repeatable.")
@correcting
@rehearsals_option
def rate(
    plate: str,
    stars: int | None,
    stops: str | None,
    word: ExposureWord | None,
    best_strip: int | None,
    faults: tuple[str, ...],
    cause: str | None,
    answers: tuple[str, ...],
    nothing_else: bool,
    contrast: str | None,
    change_next_time: str | None,
    picture: str | None,
    scan: str | None,
    details: tuple[str, ...],
    corrects: int | None,
    reason: str | None,
    rehearsals: bool,
) -> None:
    """Judge a plate."""
    from darkroom.log.plate.picture import KEY as PICTURE
    from darkroom.log.review.corrections import Judgement

    given_details = (
        ("contrast", contrast),
        ("next", change_next_time),
        (PICTURE, None if picture is None else _picture(picture)),
        ("scan", scan),
    )
    if best_strip is not None:
        _check_strip(find(plate, rehearsals), best_strip)
    looked_for, rated = _faults(plate, faults, cause, answers, nothing_else, corrects, rehearsals)
    judgement = Judgement(
        stars=stars,
        exposure_stops=None if stops is None else _stops(stops),
        best_strip=best_strip,
        exposure_word=word,
        nothing_else=looked_for,
        faults=rated.new,
        details=(
            *((key, text_of(value)) for key, value in given_details if value is not None),
            *map(_detail, details),
        ),
    )
    if rated.already and not rated.corrected and not len(judgement):
        return  # the plate has it all
    add(plate, judgement, corrects, reason, rehearsals, rated.corrected)


def _faults(
    plate: str,
    words: tuple[str, ...],
    cause: str | None,
    answers: tuple[str, ...],
    nothing_else: bool,
    corrects: int | None,
    rehearsals: bool,
) -> tuple[tuple[str, ...] | None, RatedFaults]:
    """Return (what was looked for where there is nothing else, the faults); see `rate_faults`."""
    from darkroom.commands.log.rate_faults import (
        RatedFaults,
        rated_faults,
        say_already,
        say_unknown,
        standing_faults,
    )

    if not (words or answers or nothing_else or cause is not None):
        return None, RatedFaults()
    from darkroom.commands.fault.shared import say_problems
    from darkroom.log.store.paths import home
    from darkroom.resources import fault_catalogue

    catalogue, problems = fault_catalogue(home())
    say_problems(problems)
    called, standing = standing_faults(find(plate, rehearsals))
    rated = rated_faults(catalogue, standing, words, cause, answers, corrects)
    say_already(called, rated.already)
    say_unknown(catalogue, (*rated.new, *(fault for _, fault in rated.corrected)))
    return tuple(catalogue.faults) if nothing_else else None, rated


def _check_strip(path: Path, best_strip: int) -> None:
    """Raise WrongUse for a best strip that the plate has not.

    A plate on the bench may have no strips yet; it is refused as in `append.refuse`.
    """
    from darkroom.log.journal import append
    from darkroom.log.plate.record import read_record
    from darkroom.log.review.corrections import strip_of

    record = read_record(path)
    append.refuse(record.log)
    exposure = record.exposure_stage
    try:
        strip_of(best_strip, exposure.strips if exposure is not None else None)
    except WrongUse as error:
        raise WrongUse(f"--best-strip: {error}") from None


def _picture(text: str) -> str:
    """Return the whole path of a picture that can be read. Raises NotReadable."""
    from darkroom.log.plate.picture import look, path_of

    return str(look(path_of(text)).path)


def _stops(text: str) -> float:
    from darkroom.log.review.corrections import stops

    try:
        return stops(text)
    except WrongUse as error:
        raise WrongUse(f"--exposure-stops: {error}") from None


def _detail(text: str) -> tuple[str, str]:
    key, sign, value = (part.strip() for part in text.partition("="))
    if not sign or not key or not value:
        raise WrongUse(f"--detail: '{text}' is not of the form KEY=VALUE")
    return text_of(key), text_of(value)
