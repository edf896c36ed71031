"""`darkroom log note`: a note about a plate, or about what happened at one of its marks."""

from __future__ import annotations

import click

from darkroom.commands.log.judgement_lines import CORRECTING, add, correcting, text_of
from darkroom.commands.log.shared import A_PLATE, find, rehearsals_option
from darkroom.commands.output import NOT_RED
from darkroom.errors import WrongUse


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

    words = text_of(text)
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
