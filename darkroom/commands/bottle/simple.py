"""`darkroom bottle opened`, `set-aside`, `take-up`, `discard` and `note`: one line each."""

from __future__ import annotations

from typing import Any

import click

from darkroom.commands.bottle.shared import (
    A_BOTTLE,
    Opened,
    ask,
    open_bottle,
    reason_option,
    recipes_of,
    when_of,
    when_option,
    words_of,
    write,
    yes_option,
)
from darkroom.commands.output import NOT_RED
from darkroom.errors import WrongUse


@click.command(
    help=f"Say that a bottle was opened: it is in use from then on.\n\n{A_BOTTLE}\n\n"
    f"Example: darkroom bottle opened C-7 --when yesterday\n\n{NOT_RED}"
)
@click.argument("name")
@when_option
@yes_option
def opened(name: str, when: str | None, yes: bool) -> None:
    """Write that a bottle was opened."""
    from darkroom.solutions import events as ev

    _one(name, when, ev.Opened, {}, yes)


@click.command(
    help="Take a bottle out of use for now: it has no care due, and no plate is offered it.\n\n"
    f"{A_BOTTLE}\n\n"
    f'Example: darkroom bottle set-aside B-1 --reason "sunning until Sunday"\n\n{NOT_RED}'
)
@click.argument("name")
@reason_option
@when_option
@yes_option
def set_aside(name: str, reason: str | None, when: str | None, yes: bool) -> None:
    """Write that a bottle is set aside."""
    from darkroom.solutions import events as ev

    _one(name, when, ev.SetAside, _reason(reason), yes)


@click.command(
    help=f"Take a bottle into use again that was set aside, or discarded by mistake.\n\n{A_BOTTLE}\n\n"
    f"Example: darkroom bottle take-up B-1\n\n{NOT_RED}"
)
@click.argument("name")
@when_option
def take_up(name: str, when: str | None) -> None:
    """Write that a bottle is in use again."""
    from darkroom.solutions import events as ev

    opened = open_bottle(name)
    if opened.bottle.out_of_use is None:
        raise WrongUse(f"{opened.bottle.name} is {opened.bottle.state(opened.now)}: it was not out of use")
    write(
        opened.home,
        opened.bottle.id,
        [(ev.TakenUp, {})],
        when_of(when, opened.bottle),
        opened.bottle.name,
    )


@click.command(
    help="Say that a bottle's content is gone: collected as waste, or poured away where that is allowed. The "
    f"bottle stays in the book.\n\n{A_BOTTLE}\n\n"
    f"Example: darkroom bottle discard D-4 --reason rusty\n\n{NOT_RED}"
)
@click.argument("name")
@reason_option
@when_option
@yes_option
def discard(name: str, reason: str | None, when: str | None, yes: bool) -> None:
    """Write that a bottle's content is gone; say where it goes."""
    from darkroom.solutions import events as ev
    from darkroom.solutions.waste import waste_text

    opened = _one(name, when, ev.Discarded, _reason(reason), yes)
    bottles = opened.shelf.bottles.values()
    click.echo(waste_text(opened.bottle, recipes_of(bottles, opened.home), bottles), err=True)


@click.command(
    help=f"Add words about a bottle.\n\n{A_BOTTLE}\n\n"
    f'Example: darkroom bottle note C-7 "turned amber"\n\n{NOT_RED}'
)
@click.argument("name")
@click.argument("text")
@when_option
def note(name: str, text: str, when: str | None) -> None:
    """Write a note."""
    from darkroom.solutions import events as ev

    _one(name, when, ev.Note, {"text": words_of(text, "TEXT")}, True)


def _reason(text: str | None) -> dict[str, Any]:
    return {} if text is None else {"reason": words_of(text, "--reason")}


def _one(name: str, when: str | None, kind: Any, members: dict[str, Any], yes: bool) -> Opened:
    """Write one line to the bottle that is named, after what must be said; return the book as it was."""
    from darkroom.solutions.warnings import warnings

    opened = open_bottle(name)
    bottle = opened.bottle
    event = kind(n=1, at="", up=None, **members)
    said = warnings(bottle, event, opened.now)
    if said:
        ask(said, yes)
    write(opened.home, bottle.id, [(kind, members)], when_of(when, bottle), bottle.name)
    return opened
