"""`darkroom log trends`: what many plates show."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import click

from darkroom.commands.log_parts import (
    NOT_RED,
    counted,
    helpers,
    json_option,
    print_json,
    progress_line,
    rehearsals_option,
    say_problems,
)
from darkroom.commands.log_query import filters, query

if TYPE_CHECKING:
    from darkroom.log.trends import OverPlates, OverTemperature

WIDTH = 24
"""A bar is so many signs long at most."""


@click.command(
    help="Show how stage times follow temperature, held against the process, and how clearing times grow "
    "with the plates a fixer had.\n\n"
    "Temperatures that were assumed stay out, and so do stages that no strike ended. Plates without the "
    "name of a fixer's bottle are counted together.\n\n"
    f"Example: darkroom log trends --process tintype --stage develop\n\n{NOT_RED}"
)
@filters
@click.option("--stage", metavar="NAME", help="Of this stage alone.")
@json_option
@rehearsals_option
def trends(stage: str | None, as_json: bool, **asked: Any) -> None:
    """Show trends."""
    from darkroom.errors import NothingFound
    from darkroom.log.catalogue import Catalogue, Query
    from darkroom.log.house import home
    from darkroom.log.trends import trends as worked_out

    question = query(**asked)
    with Catalogue(home()) as catalogue:
        catalogue.check(progress_line, helpers())
        rows = catalogue.stages(question)
        fixed = catalogue.stages(Query(rehearsals=question.rehearsals), "cleared")
        problems = catalogue.problems_of(question)
    found = worked_out(rows, fixed, stage)
    if as_json:
        import msgspec

        print_json(msgspec.to_builtins(found))
    else:
        for one in found.over_temperature:
            for line in _temperature(one):
                click.echo(line)
        for fixer in found.over_plates:
            for line in _plates(fixer):
                click.echo(line)
    say_problems(problems)
    if not found.over_temperature and not found.over_plates:
        raise NothingFound(
            "no stage that tells anything: a strike that ended it, a temperature that was read"
        )


def _temperature(one: OverTemperature) -> Iterator[str]:
    from darkroom.commands.log_text import clean
    from darkroom.log.trends import BIN
    from darkroom.process.quantities import say_duration

    yield clean(f"{one.process}, {one.stage} over the temperature of the {one.source}")
    if one.steps:
        longest = max(step.seconds for step in one.steps)
        for step in one.steps:
            law = "" if step.law is None else f"   the process says {say_duration(step.law)}"
            band = f"{step.least:g} to {step.least + BIN:g} °C"
            yield f"  {band:>14}  {counted(step.plates, 'plate'):>10}  {_bar(step.seconds, longest)}  " \
                  f"{say_duration(step.seconds):>12}{law}"  # fmt: skip
    said = []
    if one.ratio is not None:
        said.append(f"{one.ratio:.2f} of what the process says")
    if one.coefficient is not None:
        said.append(f"10 °C colder took {one.coefficient:.2f} times as long"
                    + ("" if one.law is None else f" (the process: {one.law:.2f})"))  # fmt: skip
    if one.assumed:
        said.append(f"{counted(one.assumed, 'plate')} with an assumed temperature left out")
    if said:
        yield "  " + "; ".join(said)
    yield ""


def _plates(one: OverPlates) -> Iterator[str]:
    from darkroom.commands.log_text import clean
    from darkroom.process.quantities import say_duration

    name = "a fixer without a name" if one.fixer is None else f"fixer {one.fixer}"
    grew = "" if one.slope is None else f", {one.slope:+.1f} s a plate"
    text = (
        f"clearing in {name}: {counted(len(one.points), 'plate')}, at first {say_duration(one.first)}, "
        f"at last {say_duration(one.last)}{grew}"
    )
    if one.doubled is not None:
        text += f"; twice the first time from plate {one.doubled} on: this fixer may be at its end"
    yield clean(text)


def _bar(value: float, longest: float) -> str:
    return ("█" * max(1, round(WIDTH * value / longest))).ljust(WIDTH)
