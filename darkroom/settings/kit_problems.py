"""What is wrong with a kit, in the words of its owner: "the second lens (brass 210), stop 'no. 2'"."""

from __future__ import annotations

import re
from collections.abc import Mapping

from darkroom.errors import Problem, harmless
from darkroom.late_patterns import late_pattern
from darkroom.process.file.text_fields import is_picture
from darkroom.process.text.tree import Items, Keys, Node, Scalar, Sheet

KINDS: Mapping[str, str] = {
    "lenses": "lens",
    "cameras": "camera",
    "lights": "light",
    "places": "place",
    "plates": "plate size",
}
"""{key of the file: what each thing in its list is called}."""
KIND_WORDS: Mapping[str, str] = {
    Scalar.kind: "one value behind the colon",
    Items.kind: "several values",
    Keys.kind: "keys with values",
}
_THING = late_pattern(r"(\w+)\[(\d+)\](?:\.(.*))?", re.DOTALL)
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
_LONGEST = 40


def keys_of(sheet: Sheet, node: Node, how: str) -> Node | None:
    """Return a node that holds keys; another is noted with `how` it is written, and None returned."""
    if isinstance(node, Items | Scalar):
        sheet.wrong(node, how)
        return None
    return node


def things_of(sheet: Sheet, node: Node, key: str) -> list[Node]:
    """Return the things listed under a key of the file; what is no list is noted."""
    if isinstance(node, Keys | Scalar):
        sheet.wrong(node, f"each {KINDS[key]} begins with '- ': write '- name: …' below '{key}:'")
        return []
    return sheet.items(node)


def in_words(root: Node | None, problem: Problem) -> Problem:
    """Return a problem whose place is in words."""
    match = _THING.fullmatch(problem.key or "")
    if match is None or match[1] not in KINDS:
        return problem
    key, number, rest = match[1], int(match[2]), match[3]
    place = f"the {_ordinal(number)} {KINDS[key]}{_name(root, key, number)}"
    if rest:
        place += f", stop '{rest[6:]}'" if rest.startswith("stops.") else f", {rest}"
    return Problem(problem.file, problem.line, problem.key, problem.what, problem.nearest, harmless(place))


def _ordinal(number: int) -> str:
    if number <= len(_ORDINALS):
        return _ORDINALS[number - 1]
    ending = {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th") if number % 100 not in (11, 12, 13) else "th"
    return f"{number}{ending}"


def _name(root: Node | None, key: str, number: int) -> str:
    """Return the name of a thing in brackets, "" where it has none."""
    things = root.entries.get(key) if isinstance(root, Keys) else None
    item = things.items[number - 1] if isinstance(things, Items) and number <= len(things.items) else None
    name = item.entries.get("name") if isinstance(item, Keys) else None
    if not isinstance(name, Scalar) or not name.text:
        return ""
    shown = "".join("?" if is_picture(sign) else sign for sign in name.text[:_LONGEST])
    return f" ({shown})"
