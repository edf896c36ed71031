"""Where the shipped files lie, and how a word finds a process among them."""

from __future__ import annotations

import os
from collections.abc import Callable, Collection
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from darkroom import plain_files
from darkroom.errors import MarkWordsError, NotReadable, ProcessError, RecipeError, nearest
from darkroom.process.model import Process

if TYPE_CHECKING:
    from darkroom.faults.catalogue import Catalogue, Origin
    from darkroom.session.day_sheet import DaySheet
    from darkroom.session.key_map import KeyMap
    from darkroom.solutions.recipe import Recipe

_SUFFIXES = (".yaml", ".yml")
MOST = 256 * 1024 + 1
"""One byte more than a YAML file of ours may have: enough to see that it is too large."""


def profiles_dir() -> Path:
    """Return the folder of the shipped process files."""
    return _folder("profiles")


def sounds_dir() -> Path:
    """Return the folder of the shipped sounds."""
    return _folder("sounds")


def key_maps(home: Path) -> dict[str, Path]:
    """Return {name: file} of the key maps: ours, and those in `profiles/keymaps/` of the log's folder."""
    folders = (home / "profiles" / "keymaps", profiles_dir() / "keymaps")
    return {path.stem: path for folder in folders[::-1] for path in plain_files.files_like(folder, "*.yaml")}


def _folder(name: str) -> Path:
    package = Path(__file__).resolve().parent
    shipped = package / "shipped" / name
    return shipped if shipped.is_dir() else package.parent / name


def shipped_processes() -> list[Path]:
    """Return the shipped process files, by name."""
    return sorted(profiles_dir().glob("*.yaml"))


def own_processes(home: Path | None = None) -> list[Path]:
    """Return the process files in `profiles/` in the folder of the log, but for those with a shipped name."""
    from darkroom.log.store import paths

    folder = (paths.home() if home is None else home) / "profiles"
    shipped = {path.name for path in shipped_processes()}
    return [path for path in plain_files.files_like(folder, "*.yaml") if path.name not in shipped]


def read_bytes(path: Path) -> bytes:
    """Return the start of a plain file, as far as a YAML file of ours may be long.

    Raises NotReadable for whatever is no readable plain file; a pipe or a device is not opened.
    """
    try:
        return plain_files.read_start(path, MOST)
    except plain_files.NotPlain as error:
        raise NotReadable(f"{path} is {plain_files.reason(error)}") from error
    except OSError as error:
        raise NotReadable(f"{path} cannot be read: {plain_files.reason(error)}") from error


def read_process(path: Path) -> Process:
    """Return the checked process in a file. Raises NotReadable or ProcessError.

    A shipped one was checked when it was made: see `checked_processes`.
    """
    text = read_bytes(path)
    if path.parent == profiles_dir():
        from darkroom.checked_processes import checked_process

        checked = checked_process(path, text)
        if checked is not None:
            return checked
    from darkroom.process.file.profile import parse

    return parse(text, str(path))


def read_key_map(path: Path, base: KeyMap | None = None) -> KeyMap:
    """Return the key map in a file, over `base` or the default, which holds alone when there is no file.

    Raises SettingsError with every mistake in the file, NotReadable when it cannot be read.
    """
    from darkroom.session import key_map

    if not os.path.lexists(path):
        return base or key_map.KeyMap()
    return key_map.read(read_bytes(path), str(path), base)


def day_sheet_file(home: Path) -> Path:
    """Return the file of the day's sheet: the one in the folder of the log, else the shipped one."""
    name = Path("day") / "day.yaml"
    own = home / "profiles" / name
    return own if os.path.lexists(own) else profiles_dir() / name


def read_day_sheet(path: Path) -> DaySheet:
    """Return the checked sheet of the day in a file. Raises NotReadable or DayError."""
    from darkroom.session.day_sheet import parse

    return parse(read_bytes(path), str(path))


def own_mark_words_file(home: Path) -> Path:
    """Return the file of one's own words for marks, there or not."""
    return home / "profiles" / "words" / "marks.yaml"


def mark_words(home: Path) -> tuple[tuple[str, ...], str | None]:
    """Return the words for marks, shipped ones first, and what is wrong with one's own file, if anything."""
    from darkroom.log.review.mark_words import parse

    shipped = profiles_dir() / "words" / "marks.yaml"
    words = list(parse(read_bytes(shipped), str(shipped)))
    own, wrong = own_mark_words_file(home), None
    if os.path.lexists(own):
        try:
            known = {known_words.casefold() for known_words in words}
            words += [
                own_words
                for own_words in parse(read_bytes(own), own.relative_to(home).as_posix())
                if own_words.casefold() not in known
            ]
        except (NotReadable, MarkWordsError) as error:
            wrong = str(error)
    return tuple(words), wrong


def keep_mark_words(home: Path, words: str) -> None:
    """Add words for marks to one's own file. Raises DarkroomError with the reason when that cannot be."""
    from darkroom.log.review import mark_words

    own = own_mark_words_file(home)
    mark_words.keep(own, read_bytes(own) if os.path.lexists(own) else None, words)


def find_process(word: str) -> Path:
    """Return the file a word means: a path, the name of a shipped or own file, or of the process in it.

    Raises NotReadable, with the nearest name, when it means none.
    """
    if _is_path(word):
        return Path(word)
    stems = {path.stem: path for path in shipped_processes()}
    path = stems.get(word) or _without_case(stems, word)
    if path is not None:
        return path
    stems |= {path.stem: path for path in own_processes()}
    path = stems.get(word) or _without_case(stems, word)
    if path is not None:
        return path
    titles = _titles(stems, read_process)
    path = _without_case(titles, word)
    if path is not None:
        return path
    if word and os.path.lexists(word):
        return Path(word)
    near = nearest(word, stems) or nearest(word, titles)
    hint = f" (did you mean '{near}'?)" if near else f": there are {', '.join(stems)}"
    raise NotReadable(f"there is no process '{word}'{hint}")


def load_process(word: str) -> Process:
    """Return the checked process a word means. Raises NotReadable or ProcessError."""
    return read_process(find_process(word))


def recipes(home: Path | None = None) -> dict[str, Path]:
    """Return {name: file} of the recipes, ours and those in `profiles/solutions/` of the log's folder.

    One's own of the same name takes the place of ours.
    """
    from darkroom.log.store import paths

    own = (paths.home() if home is None else home) / "profiles" / "solutions"
    shipped = profiles_dir() / "solutions"
    found = {
        path.stem: path for folder in (shipped, own) for path in plain_files.files_like(folder, "*.yaml")
    }
    return dict(sorted(found.items()))


def read_recipe(path: Path) -> Recipe:
    """Return the checked recipe in a file. Raises NotReadable or RecipeError."""
    from darkroom.solutions.recipe_file import parse

    return parse(read_bytes(path), str(path))


def checked_recipes(
    home: Path | None = None, only: Collection[str] | None = None
) -> tuple[dict[str, Recipe], list[str]]:
    """Return ({name: recipe}, what is wrong) of all recipes, or of `only` those names.

    Of a wrong own file ours of that name stands.
    """
    found: dict[str, Recipe] = {}
    wrong: list[str] = []
    shipped = profiles_dir() / "solutions"
    for name, path in recipes(home).items():
        if only is not None and name not in only:
            continue
        for file in dict.fromkeys((path, shipped / path.name)):
            try:
                is_shipped = (shipped / path.name).is_file()
                found[name] = msgspec.structs.replace(read_recipe(file), shipped=is_shipped)
                break
            except (NotReadable, RecipeError) as error:
                if file == path:
                    wrong.append(str(error).splitlines()[0])
    return found, wrong


def find_recipe(word: str, home: Path | None = None) -> Path:
    """Return the file a word means: a path, the name of a recipe's file or of the recipe in it.

    Raises NotReadable, with the nearest name, when it means none.
    """
    if _is_path(word):
        return Path(word)
    stems = recipes(home)
    path = stems.get(word) or _without_case(stems, "-".join(word.split()))
    if path is not None:
        return path
    titles = _titles(stems, read_recipe)
    path = _without_case(titles, word)
    if path is not None:
        return path
    if word and os.path.lexists(word):
        return Path(word)
    near = nearest(word.casefold(), stems) or nearest(word, titles)
    hint = f" (did you mean '{near}'?)" if near else f": there are {', '.join(stems)}"
    raise NotReadable(f"there is no recipe '{word}'{hint}")


def _is_path(word: str) -> bool:
    return os.sep in word or bool(os.altsep and os.altsep in word) or word.endswith(_SUFFIXES)


def _titles(stems: dict[str, Path], read: Callable[[Path], Process | Recipe]) -> dict[str, Path]:
    titles: dict[str, Path] = {}
    for path in stems.values():
        try:
            titles[read(path).name] = path
        except (NotReadable, ProcessError, RecipeError):
            continue  # a broken file is named by its check; it has no title to be found by
    return titles


def _without_case(table: dict[str, Path], word: str) -> Path | None:
    return next((path for key, path in table.items() if key.casefold() == word.casefold()), None)


def fault_folders(home: Path | None = None) -> tuple[Path, Path]:
    """Return the folders of the files of faults: that of the shipped ones, that of one's own."""
    from darkroom.log.store import paths

    return profiles_dir() / "faults", (paths.home() if home is None else home) / "profiles" / "faults"


def fault_files(home: Path | None = None) -> list[tuple[Path, Origin]]:
    """Return the files of faults: the shipped ones, then those in `profiles/faults/` of the log's folder."""
    shipped, own = fault_folders(home)
    folders: tuple[tuple[Path, Origin], ...] = ((shipped, "shipped"), (own, "own"))
    return [(path, origin) for folder, origin in folders for path in plain_files.files_like(folder, "*.yaml")]


def fault_catalogue(home: Path | None = None) -> tuple[Catalogue, list[str]]:
    """Return all faults and causes, and what is wrong in their files or between them, a line each.

    What is right holds: see `faults.reading.catalogue_of`. Texts that did not change are not checked again.
    """
    from darkroom.faults.reading import catalogue_of

    texts: list[tuple[str, Origin, bytes]] = []
    wrong: list[str] = []
    for path, origin in fault_files(home):
        try:
            texts.append((str(path), origin, read_bytes(path)))
        except NotReadable as error:
            wrong.append(str(error))
    catalogue, problems = catalogue_of(tuple(texts))
    return catalogue, [*wrong, *problems]
