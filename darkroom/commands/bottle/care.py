"""`darkroom bottle care`: what a bottle needs, and when; a care can be put off."""

from __future__ import annotations

import click

from darkroom.commands.bottle.shared import (
    A_BOTTLE,
    book_of,
    json_option,
    local_now,
    open_bottle,
    reason_option,
    recipes_at_hand,
    say_problems,
    value_of,
    words_of,
    write,
)
from darkroom.commands.output import NOT_RED, print_json
from darkroom.errors import WrongUse, harmless, nearest


@click.command(
    help="Show what a bottle needs by its recipe, and when; or put a care off.\n\n"
    f"{A_BOTTLE} --postpone takes the word in brackets.\n\n"
    "Example: darkroom bottle care B-1\n\n"
    f"Example: darkroom bottle care B-1 --postpone filter --until '7 days'\n\n{NOT_RED}"
)
@click.argument("name")
@click.option("--postpone", "care_id", metavar="CARE", help="The care to put off.")
@click.option("--until", metavar="DAY", help="Until when: tomorrow, '7 days', 2026-06-01.")
@reason_option
@json_option
def care(name: str, care_id: str | None, until: str | None, reason: str | None, as_json: bool) -> None:
    """Print the care of a bottle, or postpone one."""
    from darkroom.commands.bottle.account_text import care_json
    from darkroom.devices.clock import stamp
    from darkroom.process.text.past_times import until as read_until
    from darkroom.solutions import events as ev

    if (care_id is None) is not (until is None):
        raise WrongUse("--postpone and --until go together: say which care, and until when")
    opened = open_bottle(name)
    bottle = opened.bottle
    recipes = recipes_at_hand(opened.home)
    book = book_of(opened.home, recipes, opened.now)
    dues = [due for due in book.dues if due.bottle == bottle.id]
    if care_id is not None and until is not None:
        known = [due.care for due in dues]
        if care_id not in known:
            near = nearest(care_id, known)
            there = f"there are {', '.join(known)}" if known else "its recipe has none"
            hint = f"did you mean '{near}'?" if near else there
            raise WrongUse(harmless(f"--postpone: {bottle.name} has no care '{care_id[:40]}' ({hint})"))
        day = value_of("--until", until, lambda text: read_until(text, local_now()))
        members: dict[str, object] = {"care": care_id, "until": stamp(day.timestamp())}
        if reason is not None:
            members["reason"] = words_of(reason, "--reason")
        write(opened.home, bottle.id, [(ev.Postponed, members)], None, bottle.name)
        return
    if as_json:
        print_json([care_json(due) for due in dues])
    else:
        for due in dues:
            click.echo(harmless(f"{'due now' if due.now else 'later':8} {due.says}  [{due.care}]"))
            for clause in filter(None, due.basis.split(". ")):
                click.echo(harmless(f"         {clause}"))
            for said in filter(None, (due.test, *due.cautions)):
                click.echo(harmless(f"         {said}"))
        if not dues:
            click.echo(harmless(f"{bottle.name}: nothing is known of what it needs"))
    say_problems(opened.shelf.problems)
