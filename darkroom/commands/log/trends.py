"""`darkroom log trends`: what many plates show."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import click

from darkroom.commands.log.query_options import filters, query
from darkroom.commands.log.shared import (
    helpers,
    json_option,
    rehearsals_option,
    say_problems,
)
from darkroom.commands.output import NOT_RED, print_json
from darkroom.commands.progress import Progress

if TYPE_CHECKING:
    from darkroom.log.trends.drying import OverWetTime
    from darkroom.log.trends.speed import OverSpeed
    from darkroom.log.trends.stars import OverNumber, OverWord, Stars
    from darkroom.log.trends.trends import OverPlates, OverTemperature, Trends

WIDTH = 24
"""A bar is so many signs long at most."""
COLUMNS, ROWS = 80, 22
"""A plot's size where the terminal's is not known."""
FIXERS = 12
"""So many of the fixers used last are listed, besides those at their end."""
DAYS = 12
"""So many of the last days are listed with their plates' speed."""
WEAK = 3
"""So many trends of stars are listed where none is stronger than chance."""


@click.command(
    help="Show what many plates show together: stage times over temperature, held against the process; "
    "clearing times over the plates a fixer had; faults of drying over the wet time used; the speed of "
    "judged plates over the age of the collodion and from day to day; the share of judged plates with each "
    "fault over time, with the bottles that came into use and what was done to them; and what the stars go "
    "with, the strongest first.\n\n"
    "Temperatures that were assumed stay out, and so do stages that no strike ended and plates that were "
    "not judged. Plates without the name of a fixer's bottle are counted together. Of the many things "
    "looked at some go with the stars by chance: each is held against what chance alone makes, and none "
    "is called a cause.\n\n"
    f"Example: darkroom log trends --process tintype --stage develop --plot\n\n{NOT_RED}"
)
@filters
@click.option("--stage", metavar="NAME", help="Of this stage alone.")
@click.option(
    "--stars-against",
    "thing",
    metavar="NAME",
    help="Only what the stars have to do with this, as wet, lens or exposure.",
)
@click.option("--plot", is_flag=True, help="Draw each trend too.")
@json_option
@rehearsals_option
def trends(stage: str | None, thing: str | None, plot: bool, as_json: bool, **options: Any) -> None:
    """Show trends."""
    from darkroom.errors import NothingFound
    from darkroom.log.catalogue.catalogue import Catalogue
    from darkroom.log.store.paths import home
    from darkroom.log.trends.reading import trend_rows
    from darkroom.log.trends.speed_lacks import speed_lacks
    from darkroom.log.trends.trends import trends as worked_out
    from darkroom.resources import fault_catalogue

    plate_query = query(**options)
    with Catalogue(home()) as catalogue:
        with Progress() as progress:
            catalogue.check(progress, helpers())
        rows = trend_rows(catalogue, plate_query)
        problems = catalogue.problems_of(plate_query)
    known, wrong = fault_catalogue()
    all_trends = worked_out(rows, stage, thing, known)
    lacks = None if stage or thing or all_trends.empty else speed_lacks(rows.judged)
    if as_json:
        import msgspec

        print_json(msgspec.to_builtins(all_trends, enc_hook=list))
    else:
        from darkroom.log.plate.line_text import clean

        for line in _plot_lines(all_trends) if plot else _text_lines(all_trends, thing is not None):
            click.echo(clean(line))
        if lacks is not None:
            click.echo(f"{'' if plot else chr(10)}speed of the plates: what is missing for a trend")
            for sentence in lacks.says:
                click.echo(clean(f"  {sentence}"))
    say_problems(problems)
    for line in wrong:
        click.echo(line, err=True)
    if thing is not None and not all_trends.stars.found:
        raise NothingFound(_no_such(thing, all_trends.stars))
    if all_trends.empty:
        raise NothingFound(
            "no stage that tells anything: a strike that ended it, a temperature that was read"
        )


def _no_such(thing: str, stars: Stars) -> str:
    from darkroom.errors import nearest
    from darkroom.log.trends.stars import FEWEST
    from darkroom.log.trends.trend_text import counted

    if not stars.things:
        rated = counted(stars.rated, "rated plate")
        return f"{rated}: at least {FEWEST} are needed, of one process for a number, that differ in something"
    near = nearest(thing, stars.things)
    hint = f"did you mean '{near}'?" if near else f"known are {', '.join(stars.things)}"
    return f"nothing called '{thing}' was looked at: {hint}"


def _text_lines(all_trends: Trends, all_stars: bool) -> Iterator[str]:
    from darkroom.commands.log.fault_share_lines import fault_share_lines

    for trend in all_trends.over_temperature:
        yield from _temperature(trend)
    doubled = [trend for trend in all_trends.over_plates if trend.doubled is not None]
    last_fixers = all_trends.over_plates[-FIXERS:]
    for fixer in [*(trend for trend in doubled if trend not in last_fixers), *last_fixers]:
        yield _plates(fixer)
    not_shown = (
        len(all_trends.over_plates) - len(last_fixers) - sum(trend not in last_fixers for trend in doubled)
    )
    if not_shown > 0:
        yield f"{not_shown:,} more fixers, used before these: --json"
    for wet in all_trends.over_wet_time:
        yield from _wet(wet)
    for speed in all_trends.over_speed:
        yield from _speed(speed)
    yield from fault_share_lines(all_trends.fault_shares)
    if all_trends.stars.found:
        yield from _stars(all_trends.stars, all_stars)


def _plot_lines(all_trends: Trends) -> Iterator[str]:
    import shutil

    from darkroom.log.trends.figures import picture, subjects
    from darkroom.log.trends.text_plot import CURVE, plot

    columns, rows = shutil.get_terminal_size((COLUMNS, ROWS + 3))
    columns, rows, simple = min(columns, 2 * COLUMNS), max(12, min(ROWS, rows - 3)), not _can_print(CURVE)
    for subject in subjects(all_trends):
        drawn = picture(subject)
        yield drawn.title + (f", {drawn.about}" if drawn.about else "")
        yield from (row.rstrip() for row in plot(drawn, columns, rows, simple))
        yield "  " + "; ".join(drawn.says)
        yield ""


def _can_print(signs: str) -> bool:
    """Return whether the encoding of the output has these characters."""
    import sys

    try:
        signs.encode(sys.stdout.encoding or "ascii")
    except UnicodeEncodeError:
        return False
    return True


def _temperature(trend: OverTemperature) -> Iterator[str]:
    from darkroom.log.trends.trend_text import counted, over_temperature
    from darkroom.log.trends.trends import BIN
    from darkroom.process.text.durations import say_duration

    yield f"{trend.process}, {trend.stage} over the temperature of the {trend.source}"
    if trend.steps:
        longest = max(step.seconds for step in trend.steps)
        for step in trend.steps:
            law = "" if step.law is None else f"   the process says {say_duration(step.law)}"
            band = f"{step.least:g} to {step.least + BIN:g} °C"
            yield (
                f"  {band:>14}  {counted(step.plates, 'plate'):>10}  {_bar(step.seconds, longest)}  "
                f"{say_duration(step.seconds):>12}{law}"
            )
    remarks = over_temperature(trend)
    if remarks:
        yield "  " + "; ".join(remarks)
    yield ""


def _plates(trend: OverPlates) -> str:
    from darkroom.log.trends.trend_text import fixer_name, over_plates

    return f"clearing, {fixer_name(trend.fixer)}: {'; '.join(over_plates(trend))}"


def _wet(trend: OverWetTime) -> Iterator[str]:
    from darkroom.log.trends.trend_text import counted, over_wet_time, wet

    yield ""
    axis = "the share of the wet window" if trend.by == "share" else "the wet time"
    yield f"faults of drying over {axis} used"
    for step in trend.steps:
        band = f"{wet(step.least, trend)} to {wet(step.most, trend)}"
        likely = f"{100 * step.low:.0f} to {100 * step.high:.0f} %"
        share = step.dried / step.plates
        yield (
            f"  {band:>16}  {counted(step.plates, 'plate'):>12}  {_bar(share, 1.0)}  "
            f"{step.dried:>5} with one, {100 * share:.0f} % (likely {likely})"
        )
    yield "  " + "; ".join(over_wet_time(trend))


def _speed(trend: OverSpeed) -> Iterator[str]:
    from datetime import date

    from darkroom.log.trends.speed import AGE_STEP
    from darkroom.log.trends.trend_text import counted, over_speed, speed, speed_title

    yield ""
    yield f"{trend.process}, {speed_title(trend)}"
    shown = trend.steps[-DAYS:]
    if len(shown) < len(trend.steps):
        yield f"  {len(trend.steps) - len(shown):,} days before these: --json"
    for step in shown:
        band = f"{step.least:g} to {step.least + AGE_STEP:g} days"
        if trend.by == "day":
            band = date.fromordinal(int(step.least)).isoformat()
        yield f"  {band:>16}  {counted(step.plates, 'plate'):>12}  median {speed(step.median, trend)}"
    yield "  " + "; ".join(over_speed(trend))


def _stars(stars: Stars, all_stars: bool) -> Iterator[str]:
    from darkroom.log.trends.trend_text import looked_at

    yield ""
    yield looked_at(stars)
    shown = [trend for trend in stars.found if all_stars or trend.strength > 1] or list(stars.found[:WEAK])
    for trend in shown:
        yield from _star(trend)
    if len(shown) < len(stars.found):
        not_shown = len(stars.found) - len(shown)
        yield f"  {not_shown:,} more, no stronger than chance makes: --stars-against NAME, or --json"


def _star(trend: OverNumber | OverWord) -> Iterator[str]:
    from darkroom.log.trends.stars import OverNumber
    from darkroom.log.trends.trend_text import counted, star_title, strength, value

    yield f"  {star_title(trend)}: {strength(trend)}, {counted(trend.plates, 'plate')}"
    if isinstance(trend, OverNumber):
        steps = (
            f"{counted(step.stars, 'star')} {value(step.median, trend.unit)} ({step.plates:,})"
            for step in trend.by_star
        )
        yield f"    median with {', '.join(steps)}"
    else:
        for word in trend.words:
            plates = counted(word.plates, "plate")
            yield f"    {word.word}: {word.mean:.2f} stars, median {word.median:g} ({plates})"


def _bar(value: float, longest: float) -> str:
    return ("█" * round(WIDTH * value / longest if longest else 0)).ljust(WIDTH)
