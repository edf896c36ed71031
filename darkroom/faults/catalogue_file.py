"""From the text of a file of faults to its checked faults and causes. Pure.

part = parse(text, "fog.yaml")       # FaultsError names every mistake

`cause_parts` reads evidence and tests, `fault_parts` the faults, `remedy_rules` says what a remedy may
say. Whether the causes that a fault names are there is known when all files are read: `merging` tells it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from darkroom.errors import FaultsError
from darkroom.faults import remedy_rules
from darkroom.faults.catalogue import NONE_OF_THESE, USUAL, Cause, Fault
from darkroom.faults.cause_parts import cost, read_evidence, read_test
from darkroom.faults.fault_parts import (
    entry_id,
    named_on,
    read_cautions,
    read_fault,
    read_label,
    read_sources,
)
from darkroom.faults.merging import FilePart, Kind
from darkroom.process.file.text_fields import line_of_text
from darkroom.process.model import ROLES
from darkroom.process.text import yaml_reader
from darkroom.process.text.numbers import plain
from darkroom.process.text.tree import Keys, Node, Sheet

KEYS = ("causes", "faults")
CAUSE_KEYS = (
    "label", "usual", "evidence", "test", "remedy", "alters", "cost", "source", "cautions", "weights",
)  # fmt: skip
MOST_ENTRIES = 200
LONGEST_REMEDY = 240

Entry = TypeVar("Entry", Cause, Fault)


def parse(text: str | bytes, file: str) -> FilePart:
    """Return the checked faults and causes of a file's text. Raises FaultsError with every problem found."""
    sheet = yaml_reader.read(text, file)
    part = None if sheet.root is None else _part(sheet, sheet.root)
    sheet.raise_problems(FaultsError)
    assert part is not None  # a sheet without problems has given a part
    return part


def names_in(text: str | bytes, file: str) -> tuple[frozenset[str], dict[tuple[str, str], int]]:
    """Return (ids of the causes of a file, {(fault's id, cause's id): line} of those that its faults name).

    Of a file with mistakes too, since a wrong entry has its name all the same; nothing of what is no YAML.
    """
    root = yaml_reader.read(text, file).root
    entries = root.entries if isinstance(root, Keys) else {}
    causes, faults = entries.get("causes"), entries.get("faults")
    return (
        frozenset(causes.entries if isinstance(causes, Keys) else ()),
        {} if faults is None else named_on(Sheet(file), faults),
    )


def _part(sheet: Sheet, root: Node) -> FilePart:
    keys = sheet.mapping(root, known=KEYS)
    lines: dict[tuple[Kind, str], int] = {}
    causes = _entries(sheet, keys.get("causes"), "cause", _cause, lines)
    faults = _entries(sheet, keys.get("faults"), "fault", read_fault, lines)
    if not sheet.problems and not causes and not faults:
        sheet.wrong(root, "says nothing: 'causes', 'faults' or both have an entry")
    named = named_on(sheet, keys["faults"]) if "faults" in keys else {}
    return FilePart(file=sheet.file, causes=causes, faults=faults, lines=lines, named_on=named)


def _entries(
    sheet: Sheet,
    node: Node | None,
    kind: Kind,
    reader: Callable[[Sheet, Node, str], Entry | None],
    lines: dict[tuple[Kind, str], int],
) -> tuple[Entry, ...]:
    """Return the entries of a mapping {id: entry} in which nothing is wrong, and note their lines."""
    if node is None:
        return ()
    entries = sheet.entries(node)
    if len(entries) > MOST_ENTRIES:
        sheet.wrong(node, f"{len(entries)} {kind}s: at most {MOST_ENTRIES} in one file")
        return ()
    read: list[Entry] = []
    names: dict[str, str] = {}
    for key, item in entries.items():
        line = sheet.key_line(node, key)
        entry = reader(sheet, item, key) if entry_id(sheet, key, line, item.path) else None
        if entry is None:
            continue
        for name in dict.fromkeys((entry.id.casefold(), entry.label.casefold())):
            if kind == "cause" and name == NONE_OF_THESE:
                sheet.note(line, item.path, f"'{name}' is what is said of a fault that no cause explains")
            elif names.setdefault(name, entry.id) != entry.id:
                sheet.note(line, item.path, f"'{name}' is the name of the {kind} '{names[name]}' already")
        lines[kind, entry.id] = line
        read.append(entry)
    return tuple(read)


def _cause(sheet: Sheet, node: Node, cause_id: str) -> Cause | None:
    """Return one cause; None where something is wrong."""
    noted = len(sheet.problems) + sheet.more
    keys = sheet.mapping(node, known=CAUSE_KEYS, required=("usual", "remedy", "source"))
    label = read_label(sheet, keys, cause_id)
    usual = sheet.value(keys["usual"], _usual) if "usual" in keys else None
    remedy = line_of_text(sheet, keys["remedy"], LONGEST_REMEDY) if "remedy" in keys else None
    source, weights = read_sources(sheet, keys)
    evidence = read_evidence(sheet, keys["evidence"]) if "evidence" in keys else ()
    test = read_test(sheet, keys["test"]) if "test" in keys else None
    alters = sheet.word(keys["alters"], ROLES) if "alters" in keys else None
    change_cost = sheet.value(keys["cost"], cost) if "cost" in keys else 1
    cautions = read_cautions(sheet, keys)
    if remedy is not None:
        _check_remedy(sheet, keys, remedy)
    if test is not None:
        test_node = keys["test"].entries["do"] if isinstance(keys["test"], Keys) else keys["test"]
        altering = remedy_rules.altered_by_test(test.do)
        if altering is not None:
            sheet.wrong(test_node, f"'{altering}': a test alters no bottle, it is made on a sample")
        _check_words(sheet, test_node, test.do, "cautions" in keys)
    if len(sheet.problems) + sheet.more > noted:
        return None
    assert usual is not None and remedy is not None and source is not None
    assert weights is not None and change_cost is not None
    return Cause(
        id=cause_id,
        label=label or cause_id,
        usual=usual,
        remedy=remedy,
        source=source,
        evidence=evidence,
        test=test,
        alters=alters,
        cost=change_cost,
        cautions=cautions,
        weights=weights,
    )


def _usual(text: str) -> float:
    return plain(text, least=USUAL[0], most=USUAL[1], what="the usual share of plates, a number")


def _check_remedy(sheet: Sheet, keys: dict[str, Node], remedy: str) -> None:
    """Note a remedy that is never offered, and one that alters a bottle without a test first."""
    altering = remedy_rules.alters_bottle(remedy)
    if altering is not None and "alters" not in keys:
        what = (
            f"'{altering}' alters what is in a bottle: say which under 'alters', and a 'test' to make first"
        )
        sheet.wrong(keys["remedy"], what)
    elif "alters" in keys and "test" not in keys:
        sheet.wrong(keys["alters"], "a bottle is altered after a test alone: say which under 'test'")
    _check_words(sheet, keys["remedy"], remedy, "cautions" in keys)


def _check_words(sheet: Sheet, node: Node, text: str, has_cautions: bool) -> None:
    never = remedy_rules.never_offered(text)
    if never is not None:
        sheet.wrong(node, never)
        return
    hazard = remedy_rules.needs_caution(text)
    if hazard is not None and not has_cautions:
        sheet.wrong(node, f"'{hazard}' can hurt: say how under 'cautions'")
