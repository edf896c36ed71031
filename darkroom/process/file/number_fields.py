"""Readers of the numbers in a process file: times, usual ranges, limits, washes. Pure.

Each takes the sheet and a node and returns the value, or None where a problem was noted.
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any, TypeVar

from darkroom.process.file import text_fields
from darkroom.process.model import Expect, Reference, Repeat, TimeLaw, Wash
from darkroom.process.text.durations import MOST_TIME, duration
from darkroom.process.text.measures import concentration, flow, volume
from darkroom.process.text.numbers import plain
from darkroom.process.text.temperatures import temperature
from darkroom.process.text.tree import Items, Keys, Node, Scalar, Sheet
from darkroom.process.washing import wash_seconds

T = TypeVar("T")

_REFERENCE = ("at", "is", "coefficient")
_WASH = ("carried", "change", "flow", "tank", "start", "limit", "lag")
_every = functools.partial(duration, least=5.0)
_from_zero = functools.partial(duration, least=0.0)
_coefficient = functools.partial(plain, least=1.0, most=10.0, what="a temperature coefficient")


def time_law(sheet: Sheet, node: Node) -> TimeLaw | None:
    """Return a duration, a table temperature -> duration, or a reference with its coefficient."""
    if isinstance(node, Scalar):
        return sheet.value(node, duration)
    if isinstance(node, Keys) and any(key in node.entries for key in _REFERENCE):
        return _reference(sheet, node)
    return _table(sheet, node, lambda item: sheet.value(item, duration))


def _reference(sheet: Sheet, node: Node) -> Reference | None:
    keys = sheet.mapping(node, known=_REFERENCE, required=_REFERENCE)
    at = sheet.value(keys["at"], temperature) if "at" in keys else None
    seconds = sheet.value(keys["is"], duration) if "is" in keys else None
    coefficient = sheet.value(keys["coefficient"], _coefficient) if "coefficient" in keys else None
    if at is None or seconds is None or coefficient is None:
        return None
    return Reference(at=at, is_=seconds, coefficient=coefficient)


def _table(
    sheet: Sheet, node: Node, reader: Callable[[Node], T | None]
) -> tuple[tuple[float, T], ...] | None:
    """Return rows (°C, value) of a mapping whose keys are temperatures, coldest first."""
    if not isinstance(node, Keys):
        if isinstance(node, Items):
            sheet.wrong(node, "a list is no time: write one time, or a table of temperatures and times")
        return None
    rows: list[tuple[float, T]] = []
    sound = True
    for key, item in node.entries.items():
        celsius = sheet.value(Scalar(node.lines[key], item.path, key), temperature)
        value = reader(item)
        if celsius is None or value is None:
            sound = False
            continue
        if rows and celsius <= rows[-1][0]:
            sheet.note(
                node.lines[key],
                item.path,
                "the table is not sorted: temperatures go from cold to warm, each once",
            )
            sound = False
        rows.append((celsius, value))
    if sound and len(rows) < 2:
        sheet.wrong(node, "a table needs at least two temperatures; for one time write it alone")
        return None
    return tuple(rows) if sound else None


def expect(sheet: Sheet, node: Node) -> Expect | None:
    """Return a usual range [least, most], or a table temperature -> range."""
    if isinstance(node, Items):
        return _pair(sheet, node, duration)
    if isinstance(node, Scalar):
        sheet.wrong(node, "a usual range has two times, as [10 s, 30 s]")
        return None
    return _table(sheet, node, lambda item: _pair(sheet, item, duration))


def limits(sheet: Sheet, node: Node) -> tuple[float, float] | None:
    """Return the temperatures between which a stage is believed."""
    return _pair(sheet, node, temperature)


def _pair(sheet: Sheet, node: Node, reader: Callable[[str], float]) -> tuple[float, float] | None:
    items = sheet.items(node)
    if not isinstance(node, Items):
        return None
    if len(items) != 2:
        sheet.wrong(node, f"expected two values, the lower and the upper, found {len(items)}")
        return None
    low, high = (sheet.value(item, reader) for item in items)
    if low is None or high is None:
        return None
    if low > high:
        sheet.wrong(node, "the lower value stands after the upper one")
        return None
    return low, high


def repeat(sheet: Sheet, node: Node) -> Repeat | None:
    """Return a call that comes again within the stage, every five seconds or more."""
    keys = sheet.mapping(node, known=("every", "verb"), required=("every", "verb"))
    every = sheet.value(keys["every"], _every) if "every" in keys else None
    verb = text_fields.short(sheet, keys["verb"]) if "verb" in keys else None
    return None if every is None or verb is None else Repeat(every=every, verb=verb)


def wash(sheet: Sheet, node: Node) -> Wash | None:
    """Return how a wash dilutes: by changes of water, or by a flow through a tank."""
    noted = len(sheet.problems)
    keys = sheet.mapping(node, known=_WASH, required=("start", "limit", "lag"))
    if not keys:
        return None
    batch, running = ("carried", "change"), ("flow", "tank")
    pair = running if any(key in keys for key in running) else batch
    other = batch if pair is running else running
    for key in pair:
        if key not in keys:
            sheet.wrong(node, f"the key '{key}' is missing: a wash has carried and change, or flow and tank")
    if any(key in keys for key in other):
        sheet.wrong(node, "a wash has carried and change, or flow and tank, not both")
    readers: dict[str, Any] = {
        "carried": volume,
        "change": volume,
        "flow": flow,
        "tank": volume,
        "start": concentration,
        "limit": concentration,
        "lag": _from_zero,
    }
    numbers = {key: sheet.value(item, readers[key]) for key, item in keys.items()}
    if len(sheet.problems) > noted:
        return None
    result = Wash(**{key: number for key, number in numbers.items() if number is not None})
    if result.limit >= result.start:
        sheet.wrong(keys["limit"], "the limit must lie below the start")
        return None
    if not 0.1 <= wash_seconds(result) <= MOST_TIME:
        sheet.wrong(node, "a wash of these numbers would take no time at all, or more than 24 h")
        return None
    return result
