"""`darkroom bottle withdraw`: a line of a bottle does not count."""

from __future__ import annotations

import click

from darkroom.commands.bottle.shared import (
    A_BOTTLE,
    ask,
    open_bottle,
    reason_option,
    words_of,
    write,
    yes_option,
)
from darkroom.commands.output import NOT_RED


@click.command(
    help="Take back a line of a bottle: it stays in the book and does not count.\n\n"
    f"{A_BOTTLE} PLACE is what `darkroom bottle show` has at the end of the line (a number alone is one of "
    "this bench), or last: the line that this bench wrote last, withdrawals apart. The line is shown, and "
    "asked about. A withdrawal can be withdrawn by its place. Without its first line a bottle is out of the "
    "book until that is taken back: its id still names it here.\n\n"
    f'Example: darkroom bottle withdraw B-1 last --reason "it was the other bath"\n\n{NOT_RED}'
)
@click.argument("name")
@click.argument("place")
@reason_option
@yes_option
def withdraw(name: str, place: str, reason: str | None, yes: bool) -> None:
    """Write that a line does not count."""
    from darkroom.errors import harmless
    from darkroom.log.bottles.files import read_shelf
    from darkroom.log.store.paths import bench_id, home
    from darkroom.solutions import events as ev
    from darkroom.solutions.bottle import standing
    from darkroom.solutions.bottle_words import happened
    from darkroom.solutions.withdrawing import line_at

    word = name.strip()
    shelf = read_shelf(home())
    unmade = shelf.unmade
    if word in unmade:
        log_home, bottle, called = home(), word, word
        kept, withdrawn = standing(unmade[word])
    else:
        opened = open_bottle(name)
        log_home, bottle, called = opened.home, opened.bottle.id, opened.bottle.name
        kept, withdrawn = list(opened.bottle.entries), list(opened.bottle.withdrawn)
    entry = line_at(place, bench_id(), kept, withdrawn)
    members: dict[str, object] = {"corrects": entry.place}
    if reason is not None:
        members["reason"] = words_of(reason, "--reason")
    names = {one.id: one.name for one in shelf.bottles.values()}
    words = f"{happened(entry.event, names)}  ({entry.place})"
    said = [f"{called}: {words}, written {entry.event.at[:16].replace('T', ' ')}"]
    if entry.bench != bench_id():
        said.append(f"That is a line of another bench, {entry.bench}.")
    if isinstance(entry.event, ev.Made) and sum(isinstance(one.event, ev.Made) for one in kept) == 1:
        said.append(f"Without this line {called} is out of the book. Its id {bottle} takes it back.")
    ask(said, yes, "Take this line back?")
    write(log_home, bottle, [(ev.Withdrawn, members)], None, called, quiet=True)
    click.echo(harmless(f"{called}: withdrawn: {words}"), err=True)
