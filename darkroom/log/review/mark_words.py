"""What may have happened at a mark: words to choose from at a review, shipped ones and one's own.

marks:
  - dust fell on the film
"""

from __future__ import annotations

import json
from pathlib import Path

from darkroom.errors import MarkWordsError, NotSavedError, QuantityError
from darkroom.log.store import durable
from darkroom.process.text import yaml_reader
from darkroom.process.text.plain_text import plain

LONGEST, MOST = 80, 200
"""The longest words, in characters, and the most of them in a file."""


def parse(text: str | bytes, file: str) -> tuple[str, ...]:
    """Return the words of a file, in its order. Raises MarkWordsError with every problem found."""
    sheet = yaml_reader.read(text, file)
    words: list[str] = []
    if sheet.root is not None:
        keys = sheet.mapping(sheet.root, known=("marks",), required=("marks",))
        nodes = sheet.items(keys["marks"]) if "marks" in keys else []
        if len(nodes) > MOST:
            sheet.wrong(keys["marks"], f"{len(nodes)} lines of words: at most {MOST}")
        lines: dict[str, int] = {}
        for node in nodes[:MOST]:
            value = sheet.value(node, _words)
            if value is None:
                continue
            if value.casefold() in lines:
                sheet.wrong(node, f"'{value}' stands twice, first on line {lines[value.casefold()]}")
                continue
            lines[value.casefold()] = node.line
            words.append(value)
    sheet.raise_problems(MarkWordsError)
    return tuple(words)


def _words(text: str) -> str:
    words = plain(text)
    if not words:
        raise QuantityError("no words")
    if len(words) > LONGEST:
        raise QuantityError(f"{len(words)} characters: at most {LONGEST}")
    return words


def keep(path: Path, text: bytes | None, new_words: str) -> None:
    """Add words to one's own file; its other lines stay as they are. `text` is what it holds, if it is there.

    Raises MarkWordsError for a file that is wrong, WrongUse for words that are too long, NotSavedError.
    """
    known = () if text is None else parse(text, str(path))
    words = _words(new_words)
    if words.casefold() in (known_words.casefold() for known_words in known):
        return
    before = "marks:\n" if text is None else text.decode("utf-8-sig")
    line = f"  - {json.dumps(words, ensure_ascii=False)}\n"
    longer = before + ("" if before.endswith("\n") else "\n") + line
    try:
        added = parse(longer, str(path)) == (*known, words)
    except MarkWordsError:
        added = False
    if not added:  # a list in brackets, another indent: whoever wrote it goes on with it
        raise NotSavedError(f"{path}: '{words}' fits no line there: add it by hand")
    try:
        durable.make_folders(path.parent)
        durable.write_whole(path, longer.encode())
    except OSError as error:
        raise NotSavedError(f"{path}: {error.strerror or error}") from None
