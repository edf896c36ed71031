"""The faults of a file of faults, and what they share with causes: ids, labels, cautions. Pure."""

from __future__ import annotations

from darkroom.errors import nearest
from darkroom.faults.catalogue import JUDGEMENT, Ask, Fault
from darkroom.faults.cause_parts import weight
from darkroom.late_patterns import late_pattern
from darkroom.process.file.text_fields import line_of_text, lines_of_text
from darkroom.process.text.numbers import plain, quoted
from darkroom.process.text.tree import Items, Keys, Node, Sheet

FAULT_KEYS = (
    "label", "looks", "where", "words", "unexplained", "causes", "asks", "source", "cautions", "weights",
)  # fmt: skip
ANSWERS = ("yes", "no")
ASK_KEYS = ("question", *ANSWERS)
UNEXPLAINED = (0.001, 0.05)
"""How often a fault may come from none of its causes."""
LINK = (0.05, 0.95)
"""How often a cause may show as a fault."""
MOST_CAUSES = 16
MOST_ASKS = 2
MOST_PLACES = 12
MOST_CAUTIONS = 8
LONGEST_ID = 40
LONGEST_LABEL = 60
LONGEST_PLACE = 40
LONGEST_LOOKS = 200
LONGEST_QUESTION = 120
LONGEST_SOURCE = 300

_ID = late_pattern(r"[^\W_](?:[^\W_]|['’-]|[ ](?! ))*(?<! )")


def entry_id(sheet: Sheet, key: str, line: int, path: str) -> bool:
    """Return whether a key can be the id of a fault or a cause; note it when not."""
    if len(key) > LONGEST_ID:
        sheet.note(line, path, f"the id {quoted(key)} is too long: at most {LONGEST_ID} signs")
        return False
    if not _ID.fullmatch(key) or key != key.lower() or not key.isprintable():
        like = "small letters, digits, hyphens and single spaces, as general fog"
        sheet.note(
            line, path, f"{quoted(key)} is no id: {like}; what is to be said instead stands under 'label'"
        )
        return False
    return True


def read_label(sheet: Sheet, keys: dict[str, Node], entry: str) -> str | None:
    """Return what an entry is called on screen: its label, single spaces between its words, else its id."""
    if "label" not in keys:
        return entry
    label = line_of_text(sheet, keys["label"], LONGEST_LABEL)
    return None if label is None else " ".join(label.split())


def read_sources(sheet: Sheet, keys: dict[str, Node]) -> tuple[str | None, str | None]:
    """Return where an entry is from, and where its weights are from; None for what is wrong or not there."""
    source = line_of_text(sheet, keys["source"], LONGEST_SOURCE) if "source" in keys else None
    weights = line_of_text(sheet, keys["weights"], LONGEST_SOURCE) if "weights" in keys else JUDGEMENT
    return source, weights


def read_cautions(sheet: Sheet, keys: dict[str, Node]) -> tuple[str, ...]:
    """Return the cautions of an entry; one line stands for a list of one."""
    node = keys.get("cautions")
    if node is None:
        return ()
    if isinstance(node, Items) and not 1 <= len(node.items) <= MOST_CAUTIONS:
        sheet.wrong(node, f"{len(node.items)} cautions: 1 to {MOST_CAUTIONS}")
        return ()
    return lines_of_text(sheet, node)


def named_on(sheet: Sheet, node: Node) -> dict[tuple[str, str], int]:
    """Return {(fault's id, cause's id): line} of the causes that the faults of a file name."""
    found: dict[tuple[str, str], int] = {}
    for fault, entry in node.entries.items() if isinstance(node, Keys) else ():
        causes = entry.entries.get("causes") if isinstance(entry, Keys) else None
        if isinstance(causes, Keys):
            found.update(((fault, cause), line) for cause, line in causes.lines.items())
    return found


def read_fault(sheet: Sheet, node: Node, fault_id: str) -> Fault | None:
    """Return one fault; None where something is wrong."""
    noted = len(sheet.problems) + sheet.more
    keys = sheet.mapping(node, known=FAULT_KEYS, required=("looks", "unexplained", "causes", "source"))
    label = read_label(sheet, keys, fault_id)
    looks = line_of_text(sheet, keys["looks"], LONGEST_LOOKS) if "looks" in keys else None
    where = _places(sheet, keys["where"]) if "where" in keys else ()
    words = _places(sheet, keys["words"], "word") if "words" in keys else ()
    unexplained = sheet.value(keys["unexplained"], _unexplained) if "unexplained" in keys else None
    causes = _links(sheet, keys["causes"]) if "causes" in keys else {}
    named = keys["causes"].lines if "causes" in keys and isinstance(keys["causes"], Keys) else {}
    asks = _asks(sheet, keys["asks"], tuple(named)) if "asks" in keys and named else ()
    source, weights = read_sources(sheet, keys)
    cautions = read_cautions(sheet, keys)
    if len(sheet.problems) + sheet.more > noted:
        return None
    assert looks is not None and unexplained is not None and source is not None and weights is not None
    return Fault(
        id=fault_id,
        label=label or fault_id,
        looks=looks,
        where=where,
        words=words,
        unexplained=unexplained,
        causes=causes,
        asks=asks,
        source=source,
        cautions=cautions,
        weights=weights,
    )


def _unexplained(text: str) -> float:
    return plain(
        text, least=UNEXPLAINED[0], most=UNEXPLAINED[1], what="how often it is none of these, a number"
    )


def _link(text: str) -> float:
    return plain(text, least=LINK[0], most=LINK[1], what="how often that cause shows as this fault, a number")


def _places(sheet: Sheet, node: Node, what: str = "place") -> tuple[str, ...]:
    """Return short texts, each once; one stands for a list of one."""
    nodes = [node] if node.kind == "a single value" else sheet.items(node)
    if len(nodes) > MOST_PLACES:
        sheet.wrong(node, f"{len(nodes)} {what}s: at most {MOST_PLACES}")
    read = (line_of_text(sheet, item, LONGEST_PLACE) for item in nodes[:MOST_PLACES])
    return tuple(dict.fromkeys(place for place in read if place is not None))


def _links(sheet: Sheet, node: Node) -> dict[str, float]:
    """Return {cause's id: how often it shows as this fault}, at least one."""
    entries = sheet.entries(node)
    if isinstance(node, Keys) and not 1 <= len(node.lines) <= MOST_CAUSES:
        sheet.wrong(node, f"{len(node.lines)} causes: 1 to {MOST_CAUSES}")
        return {}
    read = {cause: sheet.value(item, _link) for cause, item in entries.items()}
    return {cause: link for cause, link in read.items() if link is not None}


def _asks(sheet: Sheet, node: Node, causes: tuple[str, ...]) -> tuple[Ask, ...]:
    items = sheet.items(node)
    if len(items) > MOST_ASKS:
        sheet.wrong(node, f"{len(items)} questions: at most {MOST_ASKS}")
    asks: list[Ask] = []
    for item in items[:MOST_ASKS]:
        ask = _ask(sheet, item, causes)
        if ask is None:
            continue
        if any(other.question.casefold() == ask.question.casefold() for other in asks):
            sheet.wrong(item, "the question stands twice")
        asks.append(ask)
    return tuple(asks)


def _ask(sheet: Sheet, node: Node, causes: tuple[str, ...]) -> Ask | None:
    """Return one question with what its answers weigh; both answers are there, and not both on one side."""
    keys = sheet.mapping(node, known=ASK_KEYS, required=ASK_KEYS)
    question = line_of_text(sheet, keys["question"], LONGEST_QUESTION) if "question" in keys else None
    answers = {word: _answer(sheet, keys[word], causes) for word in ANSWERS if word in keys}
    if question is None or len(answers) < len(ANSWERS):
        return None
    if not any(isinstance(keys[word], Keys) and sheet.entries(keys[word]) for word in ANSWERS):
        sheet.wrong(node, "an answer weighs something: {a cause of this fault: decibans}")
        return None
    for cause, weighs in answers["yes"].items():
        if weighs * answers["no"].get(cause, 0.0) > 0:
            what = f"yes and no speak both {'for' if weighs > 0 else 'against'} '{cause}'"
            sheet.wrong(keys["no"], what)
            return None
    return Ask(question=question, answers=answers)


def _answer(sheet: Sheet, node: Node, causes: tuple[str, ...]) -> dict[str, float]:
    """Return {cause: decibans} of one answer; only causes of the fault can be weighed."""
    read: dict[str, float] = {}
    for cause, item in sheet.entries(node).items():
        weighs = sheet.value(item, weight)
        if cause not in causes:
            line = sheet.key_line(node, cause)
            what = f"{quoted(cause)} is no cause of this fault"
            sheet.note(line, item.path, what, nearest(cause, causes))
        elif weighs is not None:
            read[cause] = weighs
    return read
