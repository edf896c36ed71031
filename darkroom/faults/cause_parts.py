"""The parts of a cause in a file of faults: its evidence and its test, with their weights. Pure.

Weights are decibans, or words for them with a minus before what speaks against.
"""

from __future__ import annotations

import string
from collections.abc import Sequence
from itertools import pairwise

from darkroom.errors import QuantityError, nearest
from darkroom.faults.catalogue import COSTS, Evidence, Test
from darkroom.faults.evidence_names import BY_NAME, EvidenceName
from darkroom.late_patterns import late_pattern
from darkroom.process.file.text_fields import line_of_text
from darkroom.process.text.numbers import plain, quoted, whole
from darkroom.process.text.tree import Items, Keys, Node, Scalar, Sheet

EVIDENCE_KEYS = ("of", "points", "says")
TEST_KEYS = ("do", "shown", "absent", "cost")
WEIGHT_WORDS = {"a little": 2.0, "plainly": 5.0, "strongly": 9.0}
"""{word: decibans}: in a file they may stand in place of a number."""
HEAVIEST = 12.0
"""Decibans that nothing outweighs: 16 times likelier."""
MOST_POINTS = 12
MOST_EVIDENCE = 12
LONGEST_SAYS = 100
LONGEST_DO = 200

_FORMAT = late_pattern(r"\+?(?:\.[0-3])?[fg]")
_MINUS = late_pattern(r"(?:[-−] ?|minus )(.*)")


def weight(text: str) -> float:
    """Return decibans of a number or a word, as 7, -5, plainly or -plainly. Raises QuantityError."""
    words = " ".join(text.lower().split())
    match = _MINUS.fullmatch(words)
    word, sign = (match[1], -1.0) if match else (words, 1.0)
    if word in WEIGHT_WORDS:
        return sign * WEIGHT_WORDS[word]
    if word[:1].isalpha():
        stem = word.removesuffix(" for").removesuffix(" against")
        near = nearest(stem, WEIGHT_WORDS)
        minus = "-" if sign < 0 or word.endswith(" against") else ""
        hint = f" (did you mean '{minus}{near}'?)" if near else ""
        words_ = f"{', '.join(WEIGHT_WORDS)}, with a minus for what speaks against"
        raise QuantityError(f"{quoted(text)} is no weight: decibans, or {words_}{hint}")
    return plain(text, least=-HEAVIEST, most=HEAVIEST, what="a weight in decibans")


def cost(text: str) -> int:
    """Return what a change or a test costs, 0 (at once) to 3 (a day or more). Raises QuantityError."""
    return whole(text, least=0, most=len(COSTS) - 1, what=f"a cost, 0 ({COSTS[0]}) to 3 ({COSTS[-1]}),")


def read_evidence(sheet: Sheet, node: Node) -> tuple[Evidence, ...]:
    """Return the evidence of a cause; what is wrong is noted and left out."""
    items = sheet.items(node)
    if len(items) > MOST_EVIDENCE:
        sheet.wrong(node, f"{len(items)} pieces of evidence: at most {MOST_EVIDENCE}")
    read: dict[str, Evidence] = {}
    for item in items[:MOST_EVIDENCE]:
        evidence = _one_evidence(sheet, item)
        if evidence is None:
            continue
        if evidence.of in read:
            sheet.wrong(item, f"'{evidence.of}' stands twice: give it all its points in one place")
        read.setdefault(evidence.of, evidence)
    return tuple(read.values())


def _one_evidence(sheet: Sheet, node: Node) -> Evidence | None:
    keys = sheet.mapping(node, known=EVIDENCE_KEYS, required=EVIDENCE_KEYS)
    figure = _figure(sheet, keys["of"]) if "of" in keys else None
    points = _points(sheet, keys["points"], figure) if "points" in keys else None
    says = _says(sheet, keys["says"], figure) if "says" in keys else None
    if figure is None or points is None or says is None:
        return None
    return Evidence(of=figure.name, points=points, says=says)


def _figure(sheet: Sheet, node: Node) -> EvidenceName | None:
    name = sheet.text(node)
    if name is None or name in BY_NAME:
        return None if name is None else BY_NAME[name]
    what = f"{quoted(name)} is no figure of the record: darkroom fault show --evidence lists them"
    sheet.wrong(node, what, nearest(name, BY_NAME))
    return None


def _points(sheet: Sheet, node: Node, figure: EvidenceName | None) -> tuple[tuple[float, float], ...] | None:
    """Return (value, decibans) in ascending order of the values, at least one for and one against."""
    if not isinstance(node, Keys):
        sheet.mapping(node, known=())
        return None
    if len(node.lines) > MOST_POINTS:
        sheet.wrong(node, f"{len(node.lines)} points: at most {MOST_POINTS}")
        return None
    values = _values(sheet, node, figure)
    weights = [sheet.value(item, weight) for item in node.entries.values()]
    points = [(x, y) for x, y in zip(values, weights, strict=True) if x is not None and y is not None]
    if len(points) < len(node.lines) or len(node.entries) < len(node.lines):
        return None
    if not (any(y > 0 for _, y in points) and any(y < 0 for _, y in points)):
        sheet.wrong(node, "evidence has a value that speaks for the cause and one that speaks against it")
        return None
    return tuple(points) if _is_ascending(sheet, node, [x for x, _ in points]) else None


def _values(sheet: Sheet, node: Keys, figure: EvidenceName | None) -> list[float | None]:
    """Return the values that stand as keys, None for one that is none or that the figure cannot have."""
    values: list[float | None] = []
    for key, item in node.entries.items():
        least, most = (-1e6, 1e6) if figure is None else (figure.low, figure.high)
        name = "a value" if figure is None else f"{figure.name}{figure.unit and f' in {figure.unit}'}"
        try:
            values.append(plain(key, least=least, most=most, what=name))
        except QuantityError as error:
            sheet.note(sheet.key_line(node, key), item.path, str(error))
            values.append(None)
    return values


def _is_ascending(sheet: Sheet, node: Node, values: Sequence[float]) -> bool:
    ascending = all(low < high for low, high in pairwise(values))
    if not ascending:
        sheet.wrong(node, "the values must ascend")
    return ascending


def _says(
    sheet: Sheet, node: Node, figure: EvidenceName | None
) -> str | tuple[tuple[float, str], ...] | None:
    """Return what is said of a value: one text with {value} in it, or a text for each of several values."""
    if isinstance(node, Scalar):
        text = line_of_text(sheet, node, LONGEST_SAYS)
        return None if text is None else _with_value(sheet, node, text)
    if isinstance(node, Items):
        sheet.wrong(node, "one text with {value} in it, or {0: a text, 1: another}")
        return None
    if not isinstance(node, Keys):
        return None
    if not 2 <= len(node.lines) <= MOST_POINTS:
        sheet.wrong(node, f"a text for each of 2 to {MOST_POINTS} values")
        return None
    values = _values(sheet, node, figure)
    texts = [_without_value(sheet, item) for item in node.entries.values()]
    said = [(x, text) for x, text in zip(values, texts, strict=True) if x is not None and text is not None]
    if len(said) < len(node.lines) or not _is_ascending(sheet, node, [x for x, _ in said]):
        return None
    return tuple(said)


def _without_value(sheet: Sheet, node: Node) -> str | None:
    text = line_of_text(sheet, node, LONGEST_SAYS)
    if text is not None and ("{" in text or "}" in text):
        sheet.wrong(node, "a text of its own for a value has no { } in it")
        return None
    return text


def _with_value(sheet: Sheet, node: Node, text: str) -> str | None:
    """Return a text to be formatted with `value`; it names nothing else, and asks for no more than digits."""
    try:
        pieces = list(string.Formatter().parse(text))
    except ValueError:
        sheet.wrong(node, "a { or } too many: the value is written {value:.0f}")
        return None
    fields = [(name, spec or "", conversion) for _, name, spec, conversion in pieces if name is not None]
    for name, spec, conversion in fields:
        if name != "value":
            near = nearest(name, ("value",))
            sheet.wrong(node, f"{quoted('{' + name + '}')}: only {{value}} can stand between {{ }}", near)
            return None
        if conversion or not (spec == "" or _FORMAT.fullmatch(spec)):
            written = f"{{value{'!' + conversion if conversion else ''}{':' + spec if spec else ''}}}"
            sheet.wrong(
                node, f"{quoted(written)}: {{value}} with a plain format, as {{value:+.1f}} or {{value:g}}"
            )
            return None
    if not fields:
        sheet.wrong(node, "says the same of every value: put {value} into it, or write a text for each value")
        return None
    return "".join(
        literal.replace("{", "{{").replace("}", "}}") + ("" if name is None else f"{{value:{spec or 'g'}}}")
        for literal, name, spec, _ in pieces
    )


def read_test(sheet: Sheet, node: Node) -> Test | None:
    """Return the thing to try; None where something is wrong."""
    keys = sheet.mapping(node, known=TEST_KEYS, required=("do", "shown", "absent"))
    do = line_of_text(sheet, keys["do"], LONGEST_DO) if "do" in keys else None
    shown = sheet.value(keys["shown"], weight) if "shown" in keys else None
    absent = sheet.value(keys["absent"], weight) if "absent" in keys else None
    test_cost = sheet.value(keys["cost"], cost) if "cost" in keys else 1
    if shown is not None and shown <= 0:
        sheet.wrong(keys["shown"], "what a test shows speaks for the cause: more than 0")
        shown = None
    if absent is not None and absent >= 0:
        sheet.wrong(keys["absent"], "what a test does not show speaks against the cause: less than 0")
        absent = None
    if do is None or shown is None or absent is None or test_cost is None:
        return None
    return Test(do=do, shown=shown, absent=absent, cost=test_cost)
