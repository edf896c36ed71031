"""What the commands about bottles share: options, finding, asking, writing."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from darkroom.errors import DarkroomError, NothingFound, QuantityError, WrongUse, harmless, nearest

if TYPE_CHECKING:
    from pathlib import Path

    from darkroom.log.bottles.files import Shelf
    from darkroom.log.catalogue.bottle_book import BottleBook
    from darkroom.solutions.bottle import Bottle
    from darkroom.solutions.events import BottleEvent
    from darkroom.solutions.recipe import Recipe
    from darkroom.solutions.uses import Use

A_BOTTLE = "NAME is a bottle's name, its id, or a unique start of it; of two of one name the one in use."
json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON.")
yes_option = click.option("--yes", is_flag=True, help="Ask nothing: write it all the same.")
when_option = click.option(
    "--when", metavar="TIME", help="When it happened: yesterday, 14:20, '3 days ago', 2026-05-14, RFC 3339."
)
reason_option = click.option("--reason", metavar="TEXT", help="Why.")
Line = tuple[Any, dict[str, Any]]
"""A kind of event, and its members."""


class NothingWritten(DarkroomError):
    """The photographer answered no."""


class Opened(NamedTuple):
    """The book, and the bottle that was named."""

    home: Path
    shelf: Shelf
    bottle: Bottle
    now: float


def open_bottle(word: str) -> Opened:
    """Return the bottle that a word names; say which others of its name are passed over.

    Raises WrongUse, NothingFound as `find`; what cannot be read of the book is said before.
    """
    import time

    from darkroom.log.bottles.files import read_shelf
    from darkroom.log.store.paths import home
    from darkroom.solutions.finding import find

    now = time.time()
    shelf = read_shelf(home())
    try:
        found = find(shelf.bottles.values(), word, now)
    except DarkroomError:
        say_problems(shelf.problems)
        if word.strip() in shelf.unmade:
            back = f"darkroom bottle withdraw {word.strip()} PLACE takes it back"
            text = f"the making of {word.strip()} was withdrawn: {back}, PLACE being that of the withdrawal"
            raise NothingFound(text) from None
        raise
    if found.passed_over:
        others = len(found.passed_over)
        words = "1 other bottle has" if others == 1 else f"{others} other bottles have"
        bottle = found.bottle
        click.echo(harmless(f"{bottle.id}: {bottle.state(now)}; {words} its name"), err=True)
    return Opened(home(), shelf, found.bottle, now)


def say_problems(problems: Iterable[object]) -> None:
    """Write problems to standard error, one a line."""
    for problem in problems:
        click.echo(str(problem), err=True)


def local_now() -> datetime:
    """Return the time of the wall clock, in the zone of this machine."""
    return datetime.now(UTC).astimezone()


def when_of(text: str | None, bottle: Bottle | None = None) -> str | None:
    """Return what `--when` says as RFC 3339 text, None without it.

    Raises QuantityError for what cannot be read or has not come yet, WrongUse for a time before the bottle
    was made.
    """
    from darkroom.devices.clock import stamp
    from darkroom.process.text.past_times import past
    from darkroom.solutions.finding import day_made

    if text is None:
        return None
    at = value_of("--when", text, lambda typed: past(typed, local_now()))
    if bottle is not None and at.timestamp() < bottle.made - 1:
        raise WrongUse(f"--when: {bottle.name} was made on {day_made(bottle)}, later than that")
    return stamp(at.timestamp())


def value_of(option: str, text: str, reader: Callable[[str], Any]) -> Any:
    """Return what a reader makes of an option's text. Raises QuantityError that names the option."""
    try:
        return reader(text)
    except QuantityError as error:
        raise QuantityError(f"{option}: {error}") from None


def words_of(text: str, what: str) -> str:
    """Return a name or a text on one line. Raises WrongUse for none, or one that is too long."""
    from darkroom.log.review.corrections import text_of

    try:
        return " ".join(harmless(text_of(text)).split())
    except WrongUse as error:
        raise WrongUse(f"{what}: {error}") from None


def known_word(word: str, known: Sequence[str], what: str) -> str:
    """Return a word that is one of `known`, whatever its case. Raises WrongUse with the nearest right one."""
    plain = word.strip().casefold().replace("-", "_").replace(" ", "_")
    if plain in known:
        return plain
    shown = [one.replace("_", "-") for one in known]
    near = nearest(plain.replace("_", "-"), shown)
    hint = f"did you mean '{near}'?" if near else f"there are {', '.join(shown)}"
    raise WrongUse(f"'{word[:40]}' is not {what} ({hint})")


def recipe_of(word: str) -> tuple[str, Recipe]:
    """Return (name of its file without the ending, the recipe). Raises NotReadable, RecipeError."""
    from darkroom import resources

    path = resources.find_recipe(word)
    return path.stem, resources.read_recipe(path)


def recipes_at_hand(home: Path) -> dict[str, Recipe]:
    """Return the recipes by the names of their files; what is wrong with one is said."""
    from darkroom import resources

    found, wrong = resources.checked_recipes(home)
    say_problems(wrong)
    return found


def recipes_of(bottles: Iterable[Bottle], home: Path) -> dict[str, Recipe]:
    """Return the recipes that bottles name, as far as they can be read."""
    from darkroom import resources

    return resources.checked_recipes(home, {bottle.recipe or "" for bottle in bottles})[0]


def recipe_at_hand(bottle: Bottle) -> Recipe | None:
    """Return the recipe that a bottle names, None without one or where it is not to be had."""
    if bottle.recipe is None:
        return None
    try:
        return recipe_of(bottle.recipe)[1]
    except DarkroomError:
        return None


def book_of(home: Path, recipes: Mapping[str, Recipe], now: float) -> BottleBook:
    """Return what is known of the bottles, plates that were changed by hand too; what is wrong is said."""
    from darkroom.commands.log.shared import helpers
    from darkroom.commands.progress import Progress
    from darkroom.log.catalogue.bottle_book import bottle_book, sizes_of
    from darkroom.settings.kit import load_right, path_in

    kit, wrong = load_right(path_in(home))
    with Progress() as progress:
        book = bottle_book(
            home, recipes, now, sizes=sizes_of(kit), by_hand_too=True, progress=progress, helpers=helpers()
        )
    say_problems([*wrong, *([book.trouble] if book.trouble else [])])
    return book


def uses_of(home: Path, bottle: Bottle, now: float) -> tuple[Use, ...]:
    """Return the plates that used a bottle; why they cannot be read is said."""
    return book_of(home, {}, now).uses.get(bottle.id, ())


def ask(
    warnings: Sequence[str],
    yes: bool,
    question: str = "Write it all the same?",
    refused: str = "nothing is written",
) -> None:
    """Say warnings and ask, unless `yes`. Raises NothingWritten, `refused`, for a no or without an answer."""
    for line in "\n".join(warnings).split("\n") if warnings else ():
        click.echo(harmless(line), err=True)
    if yes:
        return
    try:
        agreed = click.confirm(question, default=False, err=True)
    except click.Abort:
        click.echo(err=True)
        agreed = False
    if not agreed:
        raise NothingWritten(refused)


def write(
    home: Path,
    bottle: str,
    lines: Sequence[Line],
    when: str | None,
    name: str,
    *,
    names: Mapping[str, str] | None = None,
    quiet: bool = False,
) -> Sequence[BottleEvent]:
    """Append lines to a bottle and say them, other bottles by their `names`, {id: name}.

    Raises NotSavedError, LineError.
    """
    import time

    from darkroom.devices.clock import stamp
    from darkroom.log.bottles import files
    from darkroom.log.store.paths import bench_id
    from darkroom.solutions.bottle_words import happened

    at, bench = stamp(time.time()), bench_id()

    def build(n: int) -> list[BottleEvent]:
        return [
            kind(n=n + number, at=at, up=None, when=when, **members)
            for number, (kind, members) in enumerate(lines)
        ]

    written = files.append(home, bottle, bench, build)
    for event in written if not quiet else ():
        click.echo(harmless(f"{name}: {happened(event, names)}  ({bench}:{event.n})"), err=True)
    return written
