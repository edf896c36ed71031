"""What `darkroom ready` reads: processes, recipes, faults, settings, kit, keys, day's sheet, words."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from darkroom import plain_files
from darkroom.commands.ready.checks import Check, missing
from darkroom.errors import DarkroomError, NotReadable, ProblemsError, harmless, is_text

if TYPE_CHECKING:
    from darkroom.exposure.kit import Lens
    from darkroom.settings.settings import Settings


def processes(home: Path) -> list[Check]:
    """Read every process file, shipped and the user's own."""
    from darkroom import resources

    shipped = resources.shipped_processes()
    own = plain_files.files_like(home / "profiles", "*.y*ml")
    checks = _files("process files", shipped, resources.read_process, "install darkroom again")
    if not shipped:
        checks.append(Check("process files", "fails", "none were shipped", "install darkroom again"))
    todo = "mend it; darkroom process check says the same"
    without = "that process cannot be chosen"
    checks += _files("your process files", own, resources.read_process, todo, without)
    for path in own:
        if not is_text(path.name):
            says = f"the name of {harmless(path.name)} is not UTF-8"
            checks.append(missing("your process files", says, without, "give it another name"))
    return checks


def day_sheet(home: Path) -> list[Check]:
    """Read the day's sheet, the user's own where there is one."""
    from darkroom import resources

    path = resources.day_sheet_file(home)
    if home not in path.parents:
        return _files("day's sheet", [path], resources.read_day_sheet, "install darkroom again")
    todo = "mend it; darkroom day says the same"
    return _files("day's sheet", [path], resources.read_day_sheet, todo, "the shipped sheet is shown")


def mark_words(home: Path) -> list[Check]:
    """Read one's own words for marks, where there are any."""
    from darkroom import resources
    from darkroom.log.review.mark_words import parse

    path = resources.own_mark_words_file(home)
    if not os.path.lexists(path):
        return []

    def read(own: Path) -> object:
        return parse(resources.read_bytes(own), str(own))

    return _files("words for marks", [path], read, "mend that line", "the shipped words alone are offered")


def recipes(home: Path) -> list[Check]:
    """Read every recipe, shipped and the user's own."""
    from darkroom import resources

    found = resources.recipes(home).values()
    own = [path for path in found if home in path.parents]
    shipped = [path for path in found if path not in own]
    checks = _files("recipes", shipped, resources.read_recipe, "install darkroom again", "it cannot be mixed")
    todo = "mend it; darkroom mix --check says the same"
    return checks + _files("your recipes", own, resources.read_recipe, todo, "it cannot be mixed")


def faults(home: Path) -> list[Check]:
    """Read every file of faults, shipped and the user's own, and look whether they fit together."""
    from darkroom import resources
    from darkroom.faults.catalogue_file import parse

    def read(path: Path) -> object:
        return parse(resources.read_bytes(path), str(path))

    shipped, own = (
        [path for path, origin in resources.fault_files(home) if origin == whose]
        for whose in ("shipped", "own")
    )
    checks = _files("faults", shipped, read, "install darkroom again", "no plate is told why it failed")
    todo = "mend it; darkroom fault check says the same"
    own_checks = _files("your faults", own, read, todo, "the shipped faults and your other files count")
    if all(check.state == "works" for check in own_checks):
        between = (
            missing("your faults", line, "that entry is left out", todo)
            for line in resources.fault_catalogue(home)[1]
        )
        own_checks += between if own else ()
    return checks + own_checks


def _files(
    about: str, paths: Sequence[Path], reader: Callable[[Path], object], todo: str, without: str | None = None
) -> list[Check]:
    """Read files; one that is wrong fails, or is missing where the bench does `without` it."""
    checks: list[Check] = []
    good = 0

    def wrong(says: str) -> Check:
        return Check(about, "fails", says, todo) if without is None else missing(about, says, without, todo)

    for path in paths:
        try:
            reader(path)
            good += 1
        except ProblemsError as error:
            checks += [wrong(str(problem)) for problem in error.problems]
        except NotReadable as error:
            checks.append(wrong(str(error)))
    if good:
        checks.insert(
            0, Check(about, "works", f"{good} read, all right" if good == len(paths) else f"{good} read")
        )
    return checks


def settings(home: Path) -> tuple[Settings | None, list[Check]]:
    """Read the settings; None with the checks when they are wrong."""
    from darkroom.settings.settings import load, path_in

    path = path_in(home)
    try:
        loaded = load(path)
    except ProblemsError as error:
        return None, [
            Check("settings", "fails", str(problem), "mend that line") for problem in error.problems
        ]
    says = str(path) if os.path.exists(path) else f"no {path}: the defaults hold"
    return loaded, [Check("settings", "works", says)]


def kit(home: Path) -> list[Check]:
    """Read the photographer's kit; what is wrong in it is left out."""
    from darkroom.settings.kit import load_file, path_in
    from darkroom.settings.kit_problems import KINDS

    path = path_in(home)
    own, problems, written = load_file(path)
    if not os.path.lexists(path):
        return [Check("kit", "works", f"no {path}: names of lenses, lights and places are just words")]
    checks = [Check("kit", "advice", str(problem), "mend that line") for problem in problems]
    listed = ", ".join(
        _left(len(getattr(own, key)), written[key], word) for key, word in KINDS.items() if written.get(key)
    )
    if problems:
        without = "; the name of a thing with a mistake is just a word"
        checks.append(Check("kit", "works", f"{path}: {listed or 'nothing'} known{without}"))
    else:
        checks.append(Check("kit", "works", f"{path}: {listed or 'nothing in it'}"))
    return checks + [Check("kit", "works", _stops_told(lens)) for lens in own.lenses if lens.stops]


def _left(known: int, written: int, word: str) -> str:
    """Return "3 lenses", or "2 of 3 lenses" where one is left out."""
    return _counted(known, word) if known == written else f"{known} of {_counted(written, word)}"


def _stops_told(lens: Lens) -> str:
    """Return what the stops of a lens were read as: "brass 210: wide open f/3.6, no. 2 f/8.08 (26 mm)"."""
    from darkroom.exposure.factors import f_number_at

    told = []
    for stop in lens.stops:
        width = "" if stop.diameter is None else f" ({stop.diameter:g} mm)"
        told.append(f"{stop.name} f/{f_number_at(lens, stop.name) or 0:.3g}{width}")
    return f"{lens.name}: {', '.join(told)}"


def _counted(number: int, word: str) -> str:
    plural = "lenses" if word == "lens" else f"{word}s"
    return f"{number} {word if number == 1 else plural}"


def key_map(home: Path, chosen: Path | None = None) -> list[Check]:
    """Read the key map: the file of the map that the settings chose, and keys.yaml over it."""
    from darkroom import resources

    path = home / "keys.yaml"
    try:
        keys = resources.read_key_map(path, None if chosen is None else resources.read_key_map(chosen))
    except ProblemsError as error:
        return [Check("keys", "fails", str(problem), "mend that line") for problem in error.problems]
    except DarkroomError as error:
        return [Check("keys", "fails", str(error), "mend the file, or take it away: the defaults hold then")]
    where = str(path) if os.path.exists(path) else chosen.stem if chosen is not None else "the shipped keys"
    return [Check("keys", "works", f"{where}: go is {keys.names('go')}; undo is {keys.names('undo')}")]
