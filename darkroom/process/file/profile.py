"""From a process file's text to a checked Process. Pure.

process = parse(text, "tintype.yaml")       # ProcessError names every mistake
"""

from __future__ import annotations

import functools
from typing import Any, Literal

import msgspec

from darkroom.errors import ProcessError
from darkroom.process.file import rules, text_fields
from darkroom.process.file.stages import Draft, read_stage
from darkroom.process.model import SOURCES, Process, Sensitive, WetWindow
from darkroom.process.text import tree, yaml_reader
from darkroom.process.text.durations import duration
from darkroom.process.text.humidity import humidity
from darkroom.process.text.temperatures import temperature
from darkroom.process.text.tree import Items, Node, Sheet

KEYS = ("name", "makes", "plate", "temperatures", "humidity", "sensitive", "wet_window", "stages")
WINDOW_KEYS = ("from", "to", "time", "temperature", "humidity", "longest")
MOST_STAGES = 60
USUAL_FROM, USUAL_TO = "sensitise", "fix"
USUAL_CELSIUS = 20.0
USUAL_HUMIDITY = 50.0

_humidity = functools.partial(humidity, bare=False)


def parse(text: str | bytes, file: str) -> Process:
    """Return the checked process of a file's text. Raises ProcessError with every problem found."""
    sheet = yaml_reader.read(text, file)
    process = _read(sheet) if sheet.root is not None else None
    sheet.raise_problems(ProcessError)
    assert process is not None  # a sheet without problems has given a process
    return process


def _read(sheet: Sheet) -> Process | None:
    assert sheet.root is not None
    keys = sheet.mapping(sheet.root, known=KEYS, required=("name", "stages"))
    drafts = _stages(sheet, keys["stages"]) if "stages" in keys else []
    rules.check_names(sheet, drafts)
    window = _wet_window(sheet, keys["wet_window"], drafts) if "wet_window" in keys else None
    sensitive = _sensitive(sheet, keys.get("sensitive"), drafts)
    if sensitive is not None:
        rules.check_light(sheet, drafts, sensitive, window.to if window else None)
    if window is not None:
        rules.check_wet_window(sheet, keys["wet_window"], drafts, window)
    rules.check_hazards(sheet, drafts)
    values = {
        "name": text_fields.line_of_text(sheet, keys["name"], text_fields.LONGEST_TITLE)
        if "name" in keys
        else None,
        "makes": text_fields.line_of_text(sheet, keys["makes"]) if "makes" in keys else None,
        "plate": text_fields.line_of_text(sheet, keys["plate"]) if "plate" in keys else None,
        "humidity": sheet.value(keys["humidity"], _humidity) if "humidity" in keys else USUAL_HUMIDITY,
    }
    given = _temperatures(sheet, keys["temperatures"]) if "temperatures" in keys else {}
    if sheet.problems:
        return None
    return msgspec.convert(
        {
            **values,
            "stages": tuple(draft.stage() for draft in drafts),
            "temperatures": _filled(given, drafts),
            "sensitive": sensitive,
            "wet_window": window,
        },
        Process,
    )


def _stages(sheet: Sheet, node: Node) -> list[Draft]:
    items = sheet.items(node)
    if isinstance(node, Items) and not items:
        sheet.wrong(node, "a process has at least one stage")
    if len(items) > MOST_STAGES:
        sheet.wrong(node, f"a process has at most {MOST_STAGES} stages")
    return [read_stage(sheet, item) for item in items[:MOST_STAGES]]


def _temperatures(sheet: Sheet, node: Node) -> dict[str, float]:
    temperatures = {
        key: sheet.value(item, temperature)
        for key, item in sheet.mapping(node, known=SOURCES, what="liquid").items()
    }
    return {key: celsius for key, celsius in temperatures.items() if celsius is not None}


def _filled(given: dict[str, float], drafts: list[Draft]) -> dict[str, float]:
    """Return the assumed temperatures with every source a stage asks for, the room's where not given."""
    room = given.get("room", USUAL_CELSIUS)
    used = {"room"} | {draft.get("at") for draft in drafts if draft.get("at")}
    return {source: given.get(source, room) for source in SOURCES if source in used or source in given}


def _sensitive(sheet: Sheet, node: Node | None, drafts: list[Draft]) -> Sensitive | Literal["never"] | None:
    names = [draft.name for draft in drafts]
    if node is None:
        if USUAL_FROM in names and USUAL_TO in names:
            first, last = names.index(USUAL_FROM), names.index(USUAL_TO)
            if first < last:
                return Sensitive(from_=USUAL_FROM, to=USUAL_TO)
            sheet.note(drafts[last].node.line, "sensitive", f"'{USUAL_TO}' comes before '{USUAL_FROM}'")
        elif drafts and None not in names:
            missing = [name for name in (USUAL_FROM, USUAL_TO) if name not in names]
            what = f"there is no stage '{missing[0]}'"
            what += ": say when the plate is sensitive, from and to, or 'never'"
            line = sheet.key_line(sheet.root, "stages") if sheet.root else None
            sheet.note(line, "sensitive", what)
        return None
    if isinstance(node, tree.Scalar):
        return "never" if sheet.word(node, ("never",)) else None
    keys = sheet.mapping(node, known=("from", "to"), required=("from", "to"))
    begin = _named(sheet, keys["from"], drafts) if "from" in keys else None
    end = _named(sheet, keys["to"], drafts) if "to" in keys else None
    if begin is None or end is None:
        return None
    if begin[1] >= end[1]:
        sheet.wrong(node, f"'{end[0]}' does not come after '{begin[0]}'")
        return None
    return Sensitive(from_=begin[0], to=end[0])


def _named(sheet: Sheet, node: Node, drafts: list[Draft]) -> tuple[str, int] | None:
    name = sheet.text(node)
    place = None if name is None else rules.position(sheet, node, drafts, name)
    return None if name is None or place is None else (name, place)


def _wet_window(sheet: Sheet, node: Node, drafts: list[Draft]) -> WetWindow | None:
    keys = sheet.mapping(node, known=WINDOW_KEYS, required=WINDOW_KEYS)
    readers: dict[str, Any] = {
        "time": duration,
        "longest": duration,
        "temperature": temperature,
        "humidity": _humidity,
    }
    values: dict[str, Any] = {
        key: sheet.value(keys[key], reader) for key, reader in readers.items() if key in keys
    }
    for key in ("from", "to"):
        named = _named(sheet, keys[key], drafts) if key in keys else None
        values[key] = named[0] if named else None
    if values.get("humidity") is not None and values["humidity"] > 95:
        sheet.wrong(keys["humidity"], "in air over 95 % nothing dries: name a drier case")
        values["humidity"] = None
    if None not in (values.get("time"), values.get("longest")) and values["longest"] < values["time"]:
        sheet.wrong(keys["longest"], "shorter than the time of the wet window")
        values["longest"] = None
    if len(values) < len(WINDOW_KEYS) or None in values.values():
        return None
    return msgspec.convert(values, WetWindow)
