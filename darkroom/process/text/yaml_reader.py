"""From YAML text to a tree whose nodes know their lines: what is no plain tree is noted and left out. Pure.

It reads the parser's events one by one, so nothing an alias could multiply is ever built, and it
stops at the first place where the nesting is too deep.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import yaml

from darkroom.late_patterns import late_pattern
from darkroom.process.text.tree import Broken, Items, Keys, Node, Scalar, Sheet

MOST_BYTES = 256 * 1024
DEEPEST = 12
_FORBIDDEN = late_pattern("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]")
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_SEVERAL = "several documents: one file holds one"
_QUOTES = "between { } a text with , : ? { } in it needs quotation marks"
_KEY = late_pattern(r"(?:^\s*(?:- )*|[{,\[]\s*)([A-Za-z_]\w*):(?=\s|$)")


def build(text: str | bytes, sheet: Sheet) -> Node | None:
    """Return the root of the tree, or None when the text has none; problems go to the sheet."""
    decoded = _decoded(text, sheet)
    if decoded is None:
        return None
    if not _clean(decoded, sheet):
        return None
    builder = _TreeBuilder(sheet)
    try:
        return builder.tree(_events(decoded))
    except _TooDeep as deep:
        sheet.note(deep.line, None, f"nested deeper than {DEEPEST} levels")
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line = None if mark is None else mark.line + 1
        lines = decoded.split("\n")
        before = lines[mark.line][: mark.column] if mark is not None and mark.line < len(lines) else ""
        sheet.note(line, _place(builder.inside, before), f"not YAML: {_complaint(error, before)}")
    except yaml.YAMLError as error:
        sheet.note(None, None, f"not YAML: {str(error).splitlines()[0]}")
    return None


def _decoded(text: str | bytes, sheet: Sheet) -> str | None:
    try:
        raw = text.encode() if isinstance(text, str) else text
    except UnicodeEncodeError:
        sheet.note(None, None, "not UTF-8 text")
        return None
    if len(raw) > MOST_BYTES:
        sheet.note(None, None, f"too large: a file holds at most {MOST_BYTES // 1024} kB")
        return None
    if b"\0" in raw:
        sheet.note(raw[: raw.index(b"\0")].count(b"\n") + 1, None, "a binary file, not text")
        return None
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        sheet.note(raw[: error.start].count(b"\n") + 1, None, "not UTF-8 text")
        return None


def _clean(text: str, sheet: Sheet) -> bool:
    """Note tabs and control characters by line; return whether there were none."""
    clean = True
    if "\t" in text or _FORBIDDEN.search(text):
        for number, line in enumerate(text.split("\n"), start=1):
            if "\t" in line:
                sheet.note(number, None, "a tab: indent with spaces")
                clean = False
            forbidden = _FORBIDDEN.search(line)
            if forbidden:
                sheet.note(number, None, f"a control character (U+{ord(forbidden[0]):04X})")
                clean = False
    return clean


def _events(text: str) -> Iterator[Any]:
    return iter(yaml.parse(text, Loader=_LOADER))


def _place(inside: str, before: str) -> str | None:
    """Return the place of the key whose value could not be read, or None.

    `inside` is the place of the innermost mapping or list that was open, `before` the line up to the mistake.
    """
    keys: list[str] = [match[1] for match in _KEY.finditer(before)]
    chain = [keys[0], keys[-1]] if len(keys) > 1 and before.lstrip(" -").startswith(keys[0]) else keys[-1:]
    if not chain:
        return None
    if inside.rpartition(".")[2] == chain[0] and len(chain) > 1:
        chain = chain[1:]
    return ".".join([inside, *chain] if inside else chain)


def _complaint(error: yaml.MarkedYAMLError, before: str) -> str:
    """Return the parser's complaint with what it was reading, and what usually mends it."""
    problem = error.problem or "it cannot be read"
    if "{" in before or "[" in before:
        return f"{problem} ({_QUOTES})"
    if "mapping values are not allowed" in problem:
        return f"{problem} (a text with a colon in it needs quotation marks)"
    if "cannot start any token" in problem:
        return f"{problem} (a text that begins so needs quotation marks)"
    if error.context and error.context_mark:
        return f"{problem} ({error.context}, begun on line {error.context_mark.line + 1})"
    return problem


def _line(event: Any) -> int:
    return int(event.start_mark.line) + 1


class _TooDeep(Exception):
    def __init__(self, line: int) -> None:
        super().__init__()
        self.line = line


class _TreeBuilder:
    """Builds nodes from events; each method takes the iterator where its node begins."""

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.inside = ""

    def tree(self, events: Iterator[Any]) -> Node | None:
        root: Node | None = None
        documents = 0
        for event in events:
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    self.sheet.note(_line(event), None, _SEVERAL)
                    break
            elif isinstance(event, yaml.NodeEvent):
                root = self.node(event, events, "", 1)
        if root is None or (isinstance(root, Scalar) and not root.text):
            self.sheet.note(None, None, "the file is empty")
            return None
        return root

    def node(self, event: Any, events: Iterator[Any], path: str, depth: int) -> Node:
        line = _line(event)
        if isinstance(event, yaml.AliasEvent):
            self.sheet.note(line, path, f"an alias (*{str(event.anchor)[:40]}): write it out")
            return Broken(line, path)
        if depth > DEEPEST:
            raise _TooDeep(line)
        if event.anchor is not None:
            self.sheet.note(line, path, f"an anchor (&{event.anchor[:40]}): write it out where it is needed")
        if event.tag is not None:
            self.sheet.note(line, path, f"a tag ({event.tag[:40]}): every value is plain text here")
        if isinstance(event, yaml.ScalarEvent):
            return Scalar(line, path, event.value.strip())
        if isinstance(event, yaml.SequenceStartEvent):
            return self.items(events, line, path, depth)
        return self.keys(events, line, path, depth, flow=bool(event.flow_style))

    def items(self, events: Iterator[Any], line: int, path: str, depth: int) -> Items:
        items: list[Node] = []
        for event in events:
            self.inside = path
            if isinstance(event, yaml.SequenceEndEvent):
                break
            items.append(self.node(event, events, f"{path}[{len(items) + 1}]", depth + 1))
        return Items(line, path, items)

    def keys(self, events: Iterator[Any], line: int, path: str, depth: int, flow: bool) -> Keys | Broken:
        entries: dict[str, Node] = {}
        lines: dict[str, int] = {}
        whole = True
        for event in events:
            self.inside = path
            if isinstance(event, yaml.MappingEndEvent):
                break
            name = self.node(event, events, path, depth + 1)
            key = name.text if isinstance(name, Scalar) else ""
            following = next(events)
            value = self.node(following, events, f"{path}.{key}" if path else key, depth + 1)
            self.inside = path
            if flow and key and following.start_mark.index == event.end_mark.index:
                whole = False
                self.without_value(name, path, next(reversed(entries), None))
            elif not key:
                if not isinstance(name, Broken):
                    self.sheet.note(name.line, path, "a key must be a word")
            elif key in entries:
                what = f"the key '{key[:40]}' stands twice, first on line {lines[key]}"
                self.sheet.note(name.line, value.path, what)
            else:
                entries[key], lines[key] = value, name.line
        return Keys(line, path, entries, lines) if whole or entries else Broken(line, path)

    def without_value(self, name: Node, path: str, last: str | None) -> None:
        """Note a word between { } without a colon: the rest of the text of key `last`, cut at a comma."""
        word = name.text[:40] if isinstance(name, Scalar) else ""
        if last is None:
            self.sheet.note(name.line, path, f"'{word}' has no value: after a key come a colon and its value")
        else:
            self.sheet.note(
                name.line, f"{path}.{last}" if path else last, f"'{word}' has no value: {_QUOTES}"
            )


def read(text: str | bytes, file: str) -> Sheet:
    """Return the sheet of a YAML text; `file` is its name in the problems. Raises nothing."""

    sheet = Sheet(file)
    sheet.root = build(text, sheet)
    return sheet
