"""Readers of the texts in a process file that people will see. Pure.

What stands in a file ends up on a red screen, so nothing in it may steer a terminal or bring
colours of its own: control and direction characters and emoji are mistakes.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable

from darkroom.process.model import Hints, Verbs
from darkroom.process.text.tree import Items, Keys, Node, Scalar, Sheet

LONGEST_NAME = 40
LONGEST_TITLE = 80
LONGEST_LINE = 200
SHORT_LETTERS = 9

# Characters below U+2C00 that fonts draw as colour pictures without being asked (Unicode
# emoji-data, property Emoji_Presentation; from memory).
_PICTURES = frozenset(
    "\u231a\u231b\u23e9\u23ea\u23eb\u23ec\u23f0\u23f3\u25fd\u25fe\u2614\u2615\u2648\u2649\u264a\u264b"
    "\u264c\u264d\u264e\u264f\u2650\u2651\u2652\u2653\u267f\u2693\u26a1\u26aa\u26ab\u26bd\u26be\u26c4"
    "\u26c5\u26ce\u26d4\u26ea\u26f2\u26f3\u26f5\u26fa\u26fd\u2705\u270a\u270b\u2728\u274c\u274e\u2753"
    "\u2754\u2755\u2757\u2795\u2796\u2797\u27b0\u27bf\u2b1b\u2b1c\u2b50\u2b55"
)


def is_picture(character: str) -> bool:
    """Return whether a terminal may draw this character in colours of its own."""
    return character in _PICTURES or character == "\ufe0f" or 0x1F000 <= ord(character) < 0x1FB00


def line_of_text(sheet: Sheet, node: Node, longest: int = LONGEST_LINE) -> str | None:
    """Return one line of text that any screen may show."""
    text = sheet.text(node)
    if text is None:
        return None
    if "\n" in text or "\r" in text:
        sheet.wrong(node, "must be one line")
        return None
    looked_at = "" if text.isascii() and text.isprintable() else text  # plain letters need no look
    for character in looked_at:
        if is_picture(character):
            sheet.wrong(
                node, f"an emoji (U+{ord(character):04X}) brings its own colours, white light in the dark"
            )
            return None
        if unicodedata.category(character) in ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"):
            sheet.wrong(node, f"a character that cannot be shown (U+{ord(character):04X})")
            return None
    if len(text) > longest:
        sheet.wrong(node, f"too long: {len(text)} characters, at most {longest}")
        return None
    return text


def name(sheet: Sheet, node: Node) -> str | None:
    """Return the name by which other keys and options call a stage."""
    text = line_of_text(sheet, node, LONGEST_NAME)
    if text is not None and any(c in text for c in ",=:[]{}"):
        sheet.wrong(node, f"a name holds no comma, colon, equals sign or bracket: '{text}'")
        return None
    return text


def short(sheet: Sheet, node: Node) -> str | None:
    """Return a name for the large lettering."""
    text = line_of_text(sheet, node)
    if text is not None and len(text) > SHORT_LETTERS:
        sheet.wrong(
            node, f"'{text[:40]}' has {len(text)} letters: at most {SHORT_LETTERS} fit the large lettering"
        )
        return None
    return text


def verb(sheet: Sheet, node: Node) -> Verbs | None:
    """Return what the hand does at the lead-in's end and when the stage calls, at most nine letters each."""
    like = "a verb is a mapping, as {due: lift}: 'lead_in', 'due' or both"
    words = _moments(sheet, node, ("lead_in", "due"), short, like)
    return Verbs(**words) if words else None


def hint(sheet: Sheet, node: Node) -> str | Hints | None:
    """Return one sentence for the whole stage, or a sentence for each moment of it."""
    if isinstance(node, Scalar):
        return line_of_text(sheet, node)
    like = "a hint is one sentence, or a mapping of ready, running and due"
    sentences = _moments(sheet, node, ("ready", "running", "due"), line_of_text, like)
    return Hints(**sentences) if sentences else None


def _moments(
    sheet: Sheet, node: Node, known: tuple[str, ...], reader: Callable[[Sheet, Node], str | None], like: str
) -> dict[str, str]:
    """Return {moment: text} of a mapping in which something stands and nothing is wrong, else nothing."""
    if isinstance(node, Scalar | Items) or (isinstance(node, Keys) and not node.lines):
        sheet.wrong(node, like)
        return {}
    entries = sheet.mapping(node, known=known, what="moment").items()
    texts = {moment: reader(sheet, item) for moment, item in entries}
    read = {moment: text for moment, text in texts.items() if text is not None}
    return read if len(read) == len(texts) else {}


def lines_of_text(sheet: Sheet, node: Node) -> tuple[str, ...]:
    """Return a list of lines; a single line stands for a list of one."""
    nodes = [node] if node.kind == "a single value" else sheet.items(node)
    texts = [line_of_text(sheet, item) for item in nodes]
    return tuple(text for text in texts if text is not None)


def words(sheet: Sheet, node: Node, known: tuple[str, ...]) -> tuple[str, ...]:
    """Return a list of known words, each once; a single word stands for a list of one."""
    unique: list[str] = []
    for item in [node] if node.kind == "a single value" else sheet.items(node):
        word = sheet.word(item, known)
        if word is not None and word in unique:
            sheet.wrong(item, f"'{word}' stands twice")
        elif word is not None:
            unique.append(word)
    return tuple(unique)
