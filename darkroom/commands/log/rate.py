"""`darkroom log rate` and `darkroom log note`: a plate judged afterwards, and corrected."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

from darkroom.commands.groups import NAME_OR_PATH
from darkroom.commands.log.shared import A_PLATE, find, rehearsals_option
from darkroom.commands.output import NOT_RED
from darkroom.errors import WrongUse

if TYPE_CHECKING:
    from pathlib import Path

    from darkroom.bench.events import ExposureWord
    from darkroom.log.plate.faults import JudgedFault
    from darkroom.log.review.corrections import Judgement

CORRECTING = (
    "A correction is a new line: --corrects N names the line (`darkroom log show --json` has their "
    "numbers), --reason says why; what was there stays in the journal and is still shown."
)
Command = Callable[..., Any]


def correcting(command: Command) -> Command:
    """Add the options of a correction to a command."""
    corrects_option = click.option(
        "--corrects", type=click.IntRange(min=1), metavar="N", help="The line it replaces."
    )
    reason_option = click.option("--reason", metavar="TEXT", help="Why it is corrected.")
    return corrects_option(reason_option(command))


@click.command(
    help="Judge a plate that is not on the bench.\n\n"
    f"{A_PLATE} {CORRECTING} --corrects alone withdraws a line.\n\n"
    'Example: darkroom log rate 12 --stars 4 --exposure-stops +1/2 --fault "fog@left edge"\n\n'
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
    "--fault", "faults", multiple=True, metavar="NAME[@WHERE]", help="A fault, and where. Repeatable."
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
    judgement = Judgement(
        stars=stars,
        exposure_stops=None if stops is None else _stops(stops),
        best_strip=best_strip,
        exposure_word=word,
        faults=tuple(map(_fault, faults)),
        details=(
            *((key, _text(value)) for key, value in given_details if value is not None),
            *map(_detail, details),
        ),
    )
    add(plate, judgement, corrects, reason, rehearsals)


@click.command(
    help="Add a note to a plate that is not on the bench.\n\n"
    f"{A_PLATE} {CORRECTING}\n\n"
    f'Example: darkroom log note 12 "thin at the upper corner"\n\n{NOT_RED}'
)
@click.argument("plate")
@click.argument("text")
@click.option("--mark", type=click.IntRange(min=1), metavar="N", help="What happened at the plate's mark N.")
@correcting
@rehearsals_option
def note(
    plate: str, text: str, mark: int | None, corrects: int | None, reason: str | None, rehearsals: bool
) -> None:
    """Add a note."""
    from darkroom.log.review.corrections import Judgement

    words = _text(text)
    if mark is None:
        add(plate, Judgement(notes=(words,)), corrects, reason, rehearsals)
        return
    if corrects is not None:
        raise WrongUse("--mark or --corrects, not both: a correction stays about what it corrects")
    add(plate, Judgement(marks=((_line_of_mark(plate, mark, rehearsals), words),)), None, reason, rehearsals)


def _line_of_mark(plate: str, mark: int, rehearsals: bool) -> int:
    """Return the number of a mark's line. Raises WrongUse when the plate has no such mark."""
    from darkroom.log.journal.merge import read_plate
    from darkroom.log.plate.account_lines import mark_numbers

    numbers = mark_numbers(read_plate(find(plate, rehearsals)).events)
    line = next((n for n, number in numbers.items() if number == mark), None)
    if line is None:
        has = f"it has {len(numbers)}" if numbers else "it has none"
        raise WrongUse(f"the plate has no mark {mark}: {has}")
    return line


def add(plate: str, judgement: Judgement, corrects: int | None, reason: str | None, rehearsals: bool) -> None:
    """Write a judgement into the plate's journal and print the numbers of its lines."""
    import time

    from darkroom.devices.clock import stamp
    from darkroom.log.journal import append
    from darkroom.log.journal.merge import read_plate
    from darkroom.log.review.corrections import correction_builder, judgement_builder
    from darkroom.log.store.paths import home

    if corrects is None and reason is not None:
        raise WrongUse("--reason goes with --corrects")
    if corrects is None and len(judgement) == 0:
        raise WrongUse("nothing to add: see `darkroom log rate --help`")
    path = find(plate, rehearsals)
    at = stamp(time.time())
    if corrects is None:
        build = judgement_builder(judgement, at)
    else:
        build = correction_builder(read_plate(path), corrects, judgement, reason, at)
    for line in append.add_all(home(), path, build):
        click.echo(f"{path.name}: line {line.n}", err=True)


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


def _fault(text: str) -> JudgedFault:
    from darkroom.log.plate.faults import JudgedFault

    name, sign, where = (part.strip() for part in text.partition("@"))
    if not name or (sign and not where):
        raise WrongUse(f"--fault: '{text}' is not of the form NAME or NAME@WHERE")
    return JudgedFault(_text(name), _text(where) if where else None)


def _detail(text: str) -> tuple[str, str]:
    key, sign, value = (part.strip() for part in text.partition("="))
    if not sign or not key or not value:
        raise WrongUse(f"--detail: '{text}' is not of the form KEY=VALUE")
    return _text(key), _text(value)


def _text(text: str) -> str:
    from darkroom.log.review.corrections import text_of

    return text_of(text)
