"""`darkroom day`: what is seen to before the day's first plate and after its last."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from darkroom.commands.output import NOT_RED, print_json
from darkroom.errors import WrongUse, nearest

if TYPE_CHECKING:
    from darkroom.log.days.events import Day, DayEvent
    from darkroom.session.day_sheet import DaySheet, Item


@click.command(
    help="Print the day's sheet, or tick its lines.\n\n"
    "What is seen to before the first plate and after the last, each with its reason. The full-screen tool "
    "shows it before the day's first plate. What the bottles need now stands on it, and after the last plate "
    "what they need tomorrow; a tick says that it was seen, what was done is noted with `darkroom bottle`. "
    "A day changes at 04:00. --begin ticks the lines before the first "
    "plate, --close those after the last: those named by ITEM, else all of them. What a process wants "
    "confirmed is asked by the full-screen tool alone.\n\n"
    "A file day/day.yaml in profiles/ in the folder of the log replaces the shipped sheet; it is checked "
    "here.\n\n"
    f'Example: darkroom day --begin goggles gloves --note "new bath"\n\n{NOT_RED}'
)
@click.argument("items", metavar="[ITEM]...", nargs=-1)
@click.option("--begin", is_flag=True, help="Tick lines before the first plate.")
@click.option("--close", "closing", is_flag=True, help="Tick lines after the last plate.")
@click.option("--note", metavar="TEXT", help="A note on this day.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def day(items: tuple[str, ...], begin: bool, closing: bool, note: str | None, as_json: bool) -> None:
    """Print or tick the day's sheet."""
    import time

    from darkroom import resources
    from darkroom.bench.working_day import hour, working_day
    from darkroom.devices.clock import stamp
    from darkroom.log.days import files
    from darkroom.log.store import paths
    from darkroom.session.cautions import FIRST

    if begin and closing:
        raise WrongUse("--begin or --close, not both")
    if items and not (begin or closing):
        raise WrongUse("ITEM goes with --begin or --close")
    home, bench, at = paths.home(), paths.bench_id(), stamp(time.time())
    sheet_file = resources.day_sheet_file(home)
    sheet = resources.read_day_sheet(sheet_file)
    date = working_day(at)
    path = files.path_of(home, date, bench)
    before, after = _with_care(home, _before(sheet, home, bench, date), sheet.after)
    if begin or closing or note:
        part = after if closing else before
        ticked = _named(items, part) if begin or closing else []
        files.append(path, lambda n: _lines(n, at, bench, part, ticked, begin, closing, note))
    told, problems = files.read_day(home, date, bench)
    for problem in problems:
        click.echo(str(problem), err=True)
    if as_json:
        parts = {"before": before, "after": after}
        print_json([_plain(told, part, item) for part, items in parts.items() for item in items])
        return
    click.echo(FIRST)
    _print(told, f"\n{date}, before the first plate", before)
    for name, value in told.values.items():
        click.echo(f"  {hour(told.seen[name])}  {name}: {value}")
    _print(told, "\nafter the last plate", after)
    for (process, what), since in told.confirmed.items():
        click.echo(f"\n{process}, confirmed at {hour(since)}: {what}")
    for text in told.notes:
        click.echo(f"\nnote: {text}")


def _before(sheet: DaySheet, home: Path, bench: str, date: str) -> list[Item]:
    """Return the lines before the first plate that are due on this day, of every process."""
    from darkroom.log.days.files import last_seen

    pauses = [item.id for item in sheet.before if item.every is not None]
    return sheet.items_before([], last_seen(home, date, bench, pauses, sheet.longest_pause()), date)


def _with_care(home: Path, before: list[Item], after: Sequence[Item]) -> tuple[list[Item], list[Item]]:
    """Return the two parts of the sheet with what the bottles need now, and tomorrow."""
    import time

    from darkroom.log.bottles.folders import is_there

    if not is_there(home):
        return before, list(after)
    from darkroom.commands.bottle.shared import book_of, recipes_at_hand
    from darkroom.log.catalogue.bottle_book import all_dues
    from darkroom.session.at_hand import at_hand
    from darkroom.session.bottle_care import told_apart, with_care
    from darkroom.solutions.bottle import DAY

    now = time.time()
    recipes = recipes_at_hand(home)
    book = book_of(home, recipes, now)
    for problem in book.problems:
        click.echo(str(problem), err=True)
    bottles = at_hand(list(book.shelf.bottles.values()), recipes, now)
    dues = told_apart(book.dues, bottles)
    tomorrow = told_apart(all_dues(book.shelf, recipes, book.uses, now + DAY), bottles)
    return with_care(before, dues), with_care(after, tomorrow, tomorrow=True)


def _named(ids: Sequence[str], part: Sequence[Item]) -> list[Item]:
    """Return the items named, all of them without a name. Raises WrongUse for an unknown one."""
    known = [item.id for item in part]
    for name in ids:
        if name not in known:
            near = nearest(name, known)
            hint = f" (did you mean '{near}'?)" if near else f": there are {', '.join(known)}"
            raise WrongUse(f"there is no item '{name}'{hint}")
    return [item for item in part if not ids or item.id in ids]


def _lines(
    n: int,
    at: str,
    bench: str,
    part: Sequence[Item],
    ticked: Sequence[Item],
    begin: bool,
    closing: bool,
    note: str | None,
) -> list[DayEvent]:
    """Return the lines to write, the first with number `n`."""
    from darkroom.log.days import events as ev
    from darkroom.log.review.corrections import text_of

    lines: list[DayEvent] = []

    def add(kind: Any, **members: object) -> None:
        lines.append(kind(n=n + len(lines), at=at, up=None, **members))

    for item in ticked:
        add(ev.SeenTo, id=item.id)
    shown = tuple(item.id for item in part)
    if begin:
        add(ev.Begun, bench=bench, shown=shown)
    if closing:
        add(ev.Closed, shown=shown)
    if note is not None:
        add(ev.Note, text=text_of(note))
    return lines


def _print(told: Day, heading: str, items: Sequence[Item]) -> None:
    from darkroom.bench.working_day import hour

    click.echo(heading)
    for item in items:
        seen = told.seen.get(item.id)
        click.echo(f"  {hour(seen) if seen else 'open '}  {item.text}")
        click.echo(f"         {item.reason}")


def _plain(told: Day, part: str, item: Item) -> dict[str, Any]:
    return {
        "part": part,
        "id": item.id,
        "says": item.text,
        "why": item.reason,
        "holds": list(item.holds),
        "seen_to": told.seen.get(item.id),
    }
