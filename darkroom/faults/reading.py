"""From the texts of all files of faults to the catalogue. Pure."""

from __future__ import annotations

from functools import lru_cache

import msgspec

from darkroom.errors import FaultsError
from darkroom.faults.catalogue import Catalogue, Origin
from darkroom.faults.catalogue_file import parse
from darkroom.faults.merging import FilePart, merge


@lru_cache(maxsize=2)
def catalogue_of(texts: tuple[tuple[str, Origin, bytes], ...]) -> tuple[Catalogue, tuple[str, ...]]:
    """Return the catalogue of (file, origin, text)s, and what is wrong, a line each.

    Of a file with mistakes nothing is taken, and its first one is told with how many there are; of what is
    wrong between files the entry in question is left out. The rest holds. While a file has mistakes nobody
    knows which causes it has, so no fault of another is blamed for naming them.
    """
    parts: list[FilePart] = []
    wrong: list[str] = []
    for file, origin, text in texts:
        try:
            parts.append(msgspec.structs.replace(parse(text, file), origin=origin))
        except FaultsError as error:
            more = len(error.problems) - 1
            wrong.append(f"{error.problems[0]}{f' (and {more} more)' if more else ''}")
    catalogue, problems = merge(parts, complete=not wrong)
    return catalogue, (*wrong, *map(str, problems))
