"""YAML text as a tree whose every node knows its line and its place; mistakes are collected. Pure.

Every scalar is text: YAML's own numbers, booleans and sexagesimals are not applied, the reader of
each key gives it its meaning. Duplicate keys, anchors, aliases, tags, tabs, control characters,
several documents, deep nesting, anything but UTF-8 and texts over 256 kB are mistakes.

`yaml_reader.read` returns a `Sheet`: the tree and the problems found so far, with helpers that find more. A
helper returns None where something is wrong and has noted it, so a reader goes on and finds all:

    sheet = yaml_reader.read(text, "settings.yaml")
    if sheet.root is not None:
        keys = sheet.mapping(sheet.root, known=("volume", "set"), required=("set",))
        if "volume" in keys:
            volume = sheet.value(keys["volume"], percent)
    sheet.raise_problems(SettingsError)
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import ClassVar, TypeVar

from msgspec import Struct, field

from darkroom.errors import Problem, ProblemsError, QuantityError, harmless, nearest

T = TypeVar("T")

MOST_PROBLEMS = 200
"""A file with more mistakes than this is not a file of ours; the rest is only counted."""


class Node(Struct):
    """A node of the tree; `line` counts from 1, `path` is its place as `stages[2].time` or ''."""

    line: int
    path: str
    kind: ClassVar[str] = "nothing"


class Broken(Node):
    """What stands where a mistake was already noted; every helper passes it over in silence."""


class Scalar(Node):
    """A text."""

    text: str
    kind: ClassVar[str] = "a single value"


class Items(Node):
    """A list, counted from 1 in paths."""

    items: list[Node]
    kind: ClassVar[str] = "a list"


class Keys(Node):
    """A mapping; `lines` holds the line of each key."""

    entries: dict[str, Node]
    lines: dict[str, int]
    kind: ClassVar[str] = "a mapping"


class Sheet(Struct):
    """A file being read: its tree (`root`, None when there is none) and its problems so far."""

    file: str
    root: Node | None = None
    problems: list[Problem] = field(default_factory=list)
    more: int = 0
    kind_words: Mapping[str, str] = field(default_factory=dict)
    """{`kind` of a node: another word for it}, for a file whose writer knows no mappings."""

    def note(self, line: int | None, path: str | None, what: str, near: str | None = None) -> None:
        """Note a problem at a line and a place of the file, in characters that no terminal obeys."""
        if len(self.problems) < MOST_PROBLEMS:
            place = harmless(path) if path else None
            self.problems.append(Problem(self.file, line, place, harmless(what), near))
        else:
            self.more += 1

    def wrong(self, node: Node, what: str, near: str | None = None) -> None:
        """Note a problem with a node."""
        self.note(node.line, node.path, what, near)

    def raise_problems(self, error: type[ProblemsError]) -> None:
        """Raise `error` with every problem noted, by line, if there is any."""
        if not self.problems:
            return
        ordered = sorted(self.problems, key=lambda problem: problem.line or 0)
        if self.more:
            ordered.append(Problem(self.file, None, None, f"and {self.more} more problems"))
        raise error(ordered)

    def mapping(
        self, node: Node, *, known: Iterable[str], required: Sequence[str] = (), what: str = "key"
    ) -> dict[str, Node]:
        """Return the entries of a mapping under known keys; note unknown and missing ones."""
        if not isinstance(node, Keys):
            self._unlike(node, Keys.kind)
            return {}
        known_keys = tuple(known)
        for key, line in node.lines.items():
            if key not in known_keys:
                path = f"{node.path}.{key}" if node.path else key
                self.note(line, path, f"unknown {what} '{key}'", nearest(key, known_keys))
        for key in required:
            if key not in node.entries:
                self.wrong(node, f"the {what} '{key}' is missing")
        return {key: value for key, value in node.entries.items() if key in known_keys}

    def entries(self, node: Node) -> Mapping[str, Node]:
        """Return the entries of a mapping whose keys are free."""
        if not isinstance(node, Keys):
            self._unlike(node, Keys.kind)
            return {}
        return node.entries

    def key_line(self, node: Node, key: str) -> int:
        """Return the line on which a key of a mapping stands, else the line of the node."""
        return node.lines.get(key, node.line) if isinstance(node, Keys) else node.line

    def items(self, node: Node) -> list[Node]:
        """Return the nodes of a list."""
        if not isinstance(node, Items):
            self._unlike(node, Items.kind)
            return []
        return node.items

    def text(self, node: Node) -> str | None:
        """Return the text of a scalar that is not empty."""
        if not isinstance(node, Scalar):
            self._unlike(node, Scalar.kind)
            return None
        if not node.text:
            self.wrong(node, "nothing is written here")
            return None
        return node.text

    def word(self, node: Node, choices: Sequence[str]) -> str | None:
        """Return a scalar that is one of `choices`."""
        text = self.text(node)
        if text is None or text in choices:
            return text
        self.wrong(node, f"'{text[:40]}' is none of: {', '.join(choices)}", nearest(text, choices))
        return None

    def flag(self, node: Node) -> bool | None:
        """Return what `true`, `yes`, `false` or `no` says."""
        text = self.text(node)
        if text is None:
            return None
        if text.lower() in ("true", "yes"):
            return True
        if text.lower() in ("false", "no"):
            return False
        self.wrong(node, f"'{text[:40]}' is neither true nor false")
        return None

    def value(self, node: Node, reader: Callable[[str], T]) -> T | None:
        """Return what `reader` makes of a scalar; its QuantityError becomes a problem."""
        text = self.text(node)
        if text is None:
            return None
        try:
            return reader(text)
        except QuantityError as error:
            self.wrong(node, str(error))
            return None

    def _unlike(self, node: Node, kind: str) -> None:
        if isinstance(node, Broken):
            return
        is_cut = kind == Scalar.kind and isinstance(node, Keys)
        mend = " (a text with a colon in it needs quotation marks)" if is_cut else ""
        expected, found = (self.kind_words.get(word, word) for word in (kind, node.kind))
        self.wrong(node, f"expected {expected}, found {found}{mend}")
