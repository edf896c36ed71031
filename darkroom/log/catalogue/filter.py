"""A filter typed in one line, parsed into a query of the catalogue. Pure.

Plain words are looked for in all texts of a plate; `name:value` is one condition: see `filter_names`. A word
that makes no sense, perhaps because it is still being typed, is left out with a remark.
"""

from __future__ import annotations

from collections.abc import Callable

import msgspec

from darkroom.errors import DarkroomError, nearest
from darkroom.late_patterns import late_pattern
from darkroom.log.catalogue import filter_values
from darkroom.log.catalogue.filter_names import FILTERS, STATES
from darkroom.log.catalogue.query import Query
from darkroom.process.model import SOURCES

_WORD = late_pattern(r'(?:(?P<name>[^\s:"]+):)?(?:"(?P<quoted>[^"]*)"?|(?P<plain>\S*))')


class ParsedFilter(msgspec.Struct, frozen=True):
    """The query, and a remark for each word that was left out."""

    query: Query
    remarks: tuple[str, ...] = ()


def parse(text: str, order: str = "newest") -> ParsedFilter:
    """Return the query of a filter. Raises nothing."""
    plain_words: list[str] = []
    other_conditions: dict[str, object] = {}
    temperatures: dict[str, tuple[float, float]] = {}
    remarks: list[str] = []
    for match in _WORD.finditer(text):
        name, value = match["name"], match["quoted"] if match["quoted"] is not None else match["plain"]
        if name is None:
            plain_words += [value] if value else []
            continue
        name = name.casefold()
        if name not in FILTERS:
            suggestion = nearest(name, FILTERS)
            remarks.append(f"no filter '{name}'" + (f": did you mean '{suggestion}'?" if suggestion else ""))
            continue
        if not value:
            remarks.append(f"{name}: {FILTERS[name]}")
            continue
        try:
            if name in SOURCES:
                temperatures[name] = filter_values.celsius_range(value, name, bare="C")
            else:
                other_conditions.update(_CONDITIONS[name](value))
        except DarkroomError as error:
            remarks.append(str(error).splitlines()[0])
    query = msgspec.structs.replace(
        Query(), words=" ".join(plain_words), temperature=temperatures, order=order, **other_conditions
    )
    return ParsedFilter(query, tuple(remarks))


def _on(value: str) -> dict[str, object]:
    first, last = filter_values.days(value, "on")
    return {"since": first, "until": last}


def _state(value: str) -> dict[str, object]:
    matching = [state for state in STATES if state.startswith(value.casefold())]
    if len(matching) != 1:
        from darkroom.errors import WrongUse

        raise WrongUse(f"state: '{value}' is none of {', '.join(STATES)}")
    return {"state": matching[0]}


_CONDITIONS: dict[str, Callable[[str], dict[str, object]]] = {
    "process": lambda value: {"process": value},
    "fault": lambda value: {"fault": value},
    "stars": lambda value: {"stars": filter_values.stars(value, "stars")},
    "on": _on,
    "since": lambda value: {"since": filter_values.days(value, "since")[0]},
    "until": lambda value: {"until": filter_values.days(value, "until")[1]},
    "state": _state,
}
