"""The sheet of the day: what is seen to before the first plate and after the last, read from its file. Pure.

The file is YAML with two lists, `before` and `after`. An item has `id` (kept when its words change), `text`
and `reason`; with `holds` it concerns processes with a stage that holds any of these, with `every` it comes
up again so many days after it was last seen to.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING

import msgspec

from darkroom.errors import DayError, QuantityError
from darkroom.late_patterns import late_pattern
from darkroom.process.file.text_fields import line_of_text, words
from darkroom.process.model import HOLDS, Process

if TYPE_CHECKING:
    from darkroom.process.text.tree import Node, Sheet

KEYS = ("before", "after")
ITEM_KEYS = ("id", "text", "reason", "holds", "every")
RESERVED = ("confirm", "room", "air")
"""Ids of what the program itself asks and keeps beside the items."""
LONGEST_TEXT = 60
LONGEST_REASON = 300
MOST_ITEMS = 40
MOST_DAYS = 366
_ID = late_pattern(r"[a-z0-9][a-z0-9-]{0,30}")
_DAYS = late_pattern(r"([0-9]{1,3}) ?(?:days?|d)", re.IGNORECASE)


class Item(msgspec.Struct, frozen=True, kw_only=True):
    """One line of the sheet. `holds` empty concerns every process; `every` is in days, None each day."""

    id: str
    text: str
    reason: str
    holds: tuple[str, ...] = ()
    every: int | None = None


class DaySheet(msgspec.Struct, frozen=True, kw_only=True):
    """The items before the day's first plate and after its last, in the order of the file."""

    before: tuple[Item, ...]
    after: tuple[Item, ...]

    def items_before(self, processes: Sequence[Process], seen: Mapping[str, str], day: str) -> list[Item]:
        """Return the items that stand on the sheet before the first plate, on `day`.

        `processes` are those worked with, all that there are when none is named; `seen` is {id: the day it
        was seen to last}. An item seen to on the day itself stays on its sheet.
        """
        return [
            item
            for item in concerning(self.before, processes)
            if item.every is None or _is_due(seen.get(item.id), day, item.every)
        ]

    def longest_pause(self) -> int:
        """Return the greatest `every`, in days; 0 without one."""
        return max((item.every or 0 for item in self.before), default=0)


def concerning(items: Sequence[Item], processes: Sequence[Process]) -> list[Item]:
    """Return the items that concern any of these processes; every item when there is none."""
    held = {hazard for process in processes for stage in process.stages for hazard in stage.holds}
    return [item for item in items if not processes or not item.holds or held.intersection(item.holds)]


def _is_due(seen: str | None, day: str, every: int) -> bool:
    if seen is None or seen == day:
        return True
    return (date.fromisoformat(day) - date.fromisoformat(seen)).days >= every


def parse(text: str | bytes, file: str) -> DaySheet:
    """Return the sheet that a YAML text describes. Raises DayError with every problem found."""
    from darkroom.process.text import yaml_reader  # not for what was ticked, which is read without the sheet

    sheet = yaml_reader.read(text, file)
    parts: dict[str, tuple[Item, ...]] = {}
    if sheet.root is not None:
        ids: dict[str, int] = {}
        for key, node in sheet.mapping(sheet.root, known=KEYS, required=KEYS).items():
            parts[key] = tuple(_items(sheet, node, ids, key))
    sheet.raise_problems(DayError)
    return DaySheet(before=parts["before"], after=parts["after"])


def _items(sheet: Sheet, node: Node, ids: dict[str, int], part: str) -> list[Item]:
    items: list[Item] = []
    nodes = sheet.items(node)
    if len(nodes) > MOST_ITEMS:
        sheet.wrong(node, f"{len(nodes)} items: at most {MOST_ITEMS}")
    for item_node in nodes[:MOST_ITEMS]:
        item = _item(sheet, item_node, ids, part)
        if item is not None:
            items.append(item)
    return items


def _item(sheet: Sheet, node: Node, ids: dict[str, int], part: str) -> Item | None:
    noted = len(sheet.problems)
    keys = sheet.mapping(node, known=ITEM_KEYS, required=("id", "text", "reason"))
    item_id = sheet.value(keys["id"], _id_among(ids)) if "id" in keys else None
    if item_id is not None:
        ids[item_id] = keys["id"].line
    text = line_of_text(sheet, keys["text"], LONGEST_TEXT) if "text" in keys else None
    reason = line_of_text(sheet, keys["reason"], LONGEST_REASON) if "reason" in keys else None
    holds = words(sheet, keys["holds"], HOLDS) if "holds" in keys else ()
    every = sheet.value(keys["every"], _days) if "every" in keys else None
    if every is not None and part == "after":
        sheet.wrong(keys["every"], "what is seen to after the last plate is seen to each day")
    if len(sheet.problems) > noted or item_id is None or text is None or reason is None:
        return None
    return Item(id=item_id, text=text, reason=reason, holds=holds, every=every)


def _id_among(ids: Mapping[str, int]) -> Callable[[str], str]:
    def reader(text: str) -> str:
        if not _ID.fullmatch(text):
            raise QuantityError(
                f"'{text[:40]}' is no id: lower-case letters, digits and hyphens, at most 31, such as eyewash"
            )
        if text in RESERVED:
            raise QuantityError(f"'{text}' is an id of the program's own: choose another")
        if text in ids:
            raise QuantityError(f"the id '{text}' stands twice, first on line {ids[text]}")
        return text

    return reader


def _days(text: str) -> int:
    match = _DAYS.fullmatch(text)
    if match is None or not 1 <= int(match[1]) <= MOST_DAYS:
        raise QuantityError(f"'{text[:40]}' cannot be read: expected 1 to {MOST_DAYS} days, such as 7 days")
    return int(match[1])


def unseen(items: Sequence[Item], shown: Collection[str]) -> list[Item]:
    """Return the items that stood on no sheet of the day yet: while there are any, the sheet is due."""
    return [item for item in items if item.id not in shown]
