"""What the commands that judge a plate share: the options of a correction, and the writing of the lines."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

import click

from darkroom.commands.log.shared import find
from darkroom.errors import WrongUse

if TYPE_CHECKING:
    from darkroom.log.journal.append import Review
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


def add(
    plate: str,
    judgement: Judgement,
    corrects: int | None,
    reason: str | None,
    rehearsals: bool,
    corrected: Sequence[tuple[int, JudgedFault]] = (),
) -> None:
    """Write a judgement into the plate's journal and print the numbers of its lines.

    `corrected` are (line, fault) of faults that stand and are told anew beside it.
    """
    import time

    from darkroom.devices.clock import stamp
    from darkroom.log.journal import append
    from darkroom.log.journal.merge import read_plate
    from darkroom.log.review.corrections import Judgement, correction_builder, judgement_builder
    from darkroom.log.store.paths import home

    if corrects is None and reason is not None and not corrected:
        raise WrongUse("--reason goes with --corrects")
    if corrects is None and len(judgement) == 0 and not corrected:
        raise WrongUse("nothing to add: see `darkroom log rate --help`")
    path = find(plate, rehearsals)
    at = stamp(time.time())
    if any(n == corrects for n, _ in corrected):
        if len(judgement):
            raise WrongUse(f"one line can be corrected at a time: line {corrects} is a fault")
        corrects = None  # that correction stands in `corrected`
    builders = [
        correction_builder(read_plate(path), n, Judgement(faults=(fault,)), reason, at)
        for n, fault in corrected
    ]
    if corrects is not None:
        builders.append(correction_builder(read_plate(path), corrects, judgement, reason, at))
    elif len(judgement):
        builders.append(judgement_builder(judgement, at))

    def build(n: int) -> list[Review]:
        lines: list[Review] = []
        for builder in builders:
            lines.extend(builder(n + len(lines)))
        return lines

    for line in append.add_all(home(), path, build):
        click.echo(f"{path.name}: line {line.n}", err=True)


def text_of(text: str) -> str:
    """Return a text that can be a part of a line. Raises WrongUse for an empty or too long text."""
    from darkroom.log.review import corrections

    return corrections.text_of(text)
