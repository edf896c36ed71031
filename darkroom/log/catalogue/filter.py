"""A filter as it is typed in one line, word by word, as a question to the catalogue. Pure.

Plain words are looked for in everything written of a plate. `name:value` asks one thing: see `filter_names`.
While a word is being typed it may make no sense yet: it is then left out and told of, and nothing else is.
"""

from __future__ import annotations

import re
from collections.abc import Callable

import msgspec

from darkroom.errors import DarkroomError, nearest
from darkroom.log.catalogue import filter_values
from darkroom.log.catalogue.filter_names import FILTERS, STATES
from darkroom.log.catalogue.query import Query
from darkroom.process.model import SOURCES

_WORD = re.compile(r'(?:(?P<name>[^\s:"]+):)?(?:"(?P<quoted>[^"]*)"?|(?P<plain>\S*))')


class ParsedFilter(msgspec.Struct, frozen=True):
    """The question, and what is said of words that make no sense (yet)."""

    query: Query
    remarks: tuple[str, ...] = ()


def parse(text: str, order: str = "newest") -> ParsedFilter:
    """Return what is asked for. Raises nothing."""
    words: list[str] = []
    given: dict[str, object] = {}
    heat: dict[str, tuple[float, float]] = {}
    remarks: list[str] = []
    for found in _WORD.finditer(text):
        name, value = found["name"], found["quoted"] if found["quoted"] is not None else found["plain"]
        if name is None:
            words += [value] if value else []
            continue
        name = name.casefold()
        if name not in FILTERS:
            near = nearest(name, FILTERS)
            remarks.append(f"no filter '{name}'" + (f": did you mean '{near}'?" if near else ""))
            continue
        if not value:
            remarks.append(f"{name}: {FILTERS[name]}")
            continue
        try:
            if name in SOURCES:
                heat[name] = filter_values.degrees(value, name, bare="C")
            else:
                given.update(_MEANS[name](value))
        except DarkroomError as error:
            remarks.append(str(error).splitlines()[0])
    query = msgspec.structs.replace(Query(), words=" ".join(words), temperature=heat, order=order, **given)
    return ParsedFilter(query, tuple(remarks))


def _on(value: str) -> dict[str, object]:
    first, last = filter_values.days(value, "on")
    return {"since": first, "until": last}


def _state(value: str) -> dict[str, object]:
    found = [state for state in STATES if state.startswith(value.casefold())]
    if len(found) != 1:
        from darkroom.errors import WrongUse

        raise WrongUse(f"state: '{value}' is none of {', '.join(STATES)}")
    return {"state": found[0]}


_MEANS: dict[str, Callable[[str], dict[str, object]]] = {
    "process": lambda value: {"process": value},
    "fault": lambda value: {"fault": value},
    "stars": lambda value: {"stars": filter_values.stars(value, "stars")},
    "on": _on,
    "since": lambda value: {"since": filter_values.days(value, "since")[0]},
    "until": lambda value: {"until": filter_values.days(value, "until")[1]},
    "state": _state,
}
