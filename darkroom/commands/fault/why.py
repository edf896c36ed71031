"""`darkroom fault why`: why one plate failed, when it began, and the one thing to change."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import click

from darkroom.commands.fault.shared import json_option, say_problems
from darkroom.commands.log.shared import A_PLATE, find, helpers
from darkroom.commands.output import NOT_RED, print_json

if TYPE_CHECKING:
    from darkroom.log.catalogue.plate_faults import PlateWhy

COLUMNS = 100


@click.command(
    help="Say why a plate failed: when its fault began and what was new then, the causes with this plate's "
    "own figures for and against, one thing to change or to test, and how it differs from the nearest good "
    "plate.\n\n"
    f"{A_PLATE} Its faults are marked with darkroom log rate, or on the plate's page. Nothing is promised: "
    "the weights are a judgement unless darkroom fault show names a source.\n\n"
    f"Example: darkroom fault why 31\n\n{NOT_RED}"
)
@click.argument("plate")
@json_option
def why(plate: str, as_json: bool) -> None:
    """Print why a plate failed."""
    from darkroom import resources
    from darkroom.commands.progress import Progress
    from darkroom.errors import NothingFound
    from darkroom.log.catalogue.bottle_book import sizes_of
    from darkroom.log.catalogue.plate_faults import why_plate
    from darkroom.log.store.paths import home
    from darkroom.settings import kit as kit_files

    path = find(plate, rehearsals=False)
    folder = home()
    faults, problems = resources.fault_catalogue(folder)
    recipes, wrong_recipes = resources.checked_recipes(folder)
    kit, wrong_kit = kit_files.load_right(kit_files.path_in(folder))
    say_problems([*problems, *wrong_recipes, *wrong_kit])
    with Progress() as progress:
        answer = why_plate(
            folder, path, faults, recipes, sizes=sizes_of(kit), progress=progress, helpers=helpers()
        )
    if answer.why is None:
        raise NothingFound(answer.trouble or f"nothing is known of plate {plate}")
    if not answer.why.faults:
        raise NothingFound(
            f"plate {answer.why.number} has no fault marked: "
            f"darkroom log rate {answer.why.number} --fault NAME (darkroom fault list shows the names)"
        )
    if as_json:
        print_json(as_plain(answer))
    else:
        from darkroom.faults.laid_out import laid_out
        from darkroom.faults.words import lines

        columns = shutil.get_terminal_size((COLUMNS, 24)).columns
        for _, row in laid_out(lines(answer.why, faults), columns):
            click.echo(row)
        for row in difference_rows(answer):
            click.echo(row)
    if len(answer.why.unknown) == len({fault.name for fault in answer.why.faults}):
        from darkroom.faults.finding import did_you_mean

        near = did_you_mean(faults.faults, answer.why.unknown)
        raise NothingFound(
            f"nothing is inferred from free words{near}: darkroom log rate {answer.why.number} --fault NAME "
            "(darkroom fault list shows the names)"
        )


def difference_rows(answer: PlateWhy) -> Iterator[str]:
    """Yield how the plate differs from the nearest good one, as a table; nothing without such a plate."""
    from darkroom.log.catalogue.plate_faults import MOST_DIFFERENCES
    from darkroom.log.plate.comparison import shown
    from darkroom.log.plate.line_text import clean

    if answer.why is None or answer.good_title is None:
        return
    rows = [
        (each.what, shown(each.first, each.unit), shown(each.second, each.unit))
        for each in answer.differences
    ]
    yield ""
    if not rows:
        yield clean(f"{answer.good_title} is the nearest good one: no difference is recorded")
        return
    head = ("differs from the nearest good one in", f"plate {answer.why.number}", answer.good_title.lower())
    cells = [tuple(map(clean, row)) for row in (head, *rows[:MOST_DIFFERENCES])]
    widths = [max(len(row[column]) for row in cells) for column in range(3)]
    for row in cells:
        yield "  ".join(f"{cell:{width}}" for cell, width in zip(row, widths, strict=True)).rstrip()
    if len(rows) > MOST_DIFFERENCES:
        more = f"{len(rows) - MOST_DIFFERENCES} more"
        yield f"and {more}: darkroom log compare {answer.why.plate} {answer.good}"


def as_plain(answer: PlateWhy) -> dict[str, Any]:
    """Return the answer as plain data. The keys are a contract with people's scripts."""
    import msgspec

    why_ = answer.why
    assert why_ is not None
    plain: dict[str, Any] = msgspec.to_builtins(why_)
    return {
        "plate": why_.plate,
        "number": why_.number,
        "faults": plain["faults"],
        "unknown": plain["unknown"],
        "causes": [_cause(cause) for cause in plain["causes"]],
        "none": round(why_.none, 4),
        "advice": plain["advice"],
        "began": plain["began"],
        "tallies": plain["tallies"],
        "confirmed": why_.confirmed,
        "plates": why_.plates,
        "usual_plates": why_.usual_plates,
        "nearest_good": None
        if answer.good is None
        else {
            "plate": answer.good,
            "title": answer.good_title,
            "differences": msgspec.to_builtins(answer.differences),
        },
    }


def _cause(cause: dict[str, Any]) -> dict[str, Any]:
    return cause | {"chance": round(cause["chance"], 4)}
