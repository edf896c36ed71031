"""The part of the settings that binds sensors to what they measure."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

from darkroom.devices.thermometers.sensor import HUMIDITY, KINDS, Binding
from darkroom.devices.thermometers.w1 import FAMILIES
from darkroom.errors import QuantityError
from darkroom.late_patterns import late_pattern
from darkroom.process.file.text_fields import line_of_text
from darkroom.process.model import SOURCES
from darkroom.process.text.durations import duration
from darkroom.process.text.numbers import quoted
from darkroom.process.text.tree import Node, Scalar, Sheet
from darkroom.settings.values import path_of

SENSOR_KEYS = ("kind", "device", "path", "channel", "unit", "every", "smoothing", "stale", "name")
KEYS_OF_KIND = {
    "w1": ("device", "path"),
    "hwmon": ("device", "path", "channel"),
    "iio": ("device", "path", "channel", "unit"),
    "file": ("path", "unit", "stale"),
}
"""The keys that say something for each kind, beside source, kind, every, smoothing and name."""
COMMON = ("source", "kind", "every", "smoothing", "name")
LONGEST_NAME = 20
NOT_NAMES = ("hand", "assumed", "rehearsal")
"""Reserved: the log's own words for the origin of a value."""
_W1 = late_pattern(r"([0-9a-f]{2})-[0-9a-f]{12}", re.IGNORECASE)
_CHANNEL = late_pattern(r"[a-z][a-z0-9_]{0,30}")
_UNITS = {"c": "C", "°c": "C", "f": "F", "°f": "F", "%": "%", "percent": "%", "per cent": "%"}


def thermometers(sheet: Sheet, node: Node, folder: Path) -> tuple[Binding, ...]:
    """Return the bindings of the list under `thermometers`; mistakes go to the sheet."""
    bindings: list[Binding] = []
    lines: dict[str, int] = {}
    for item in sheet.items(node):
        keys = sheet.mapping(item, known=("source", *SENSOR_KEYS), required=("source", "kind"))
        source = _source(sheet, keys["source"]) if "source" in keys else None
        if source is not None and source in lines:
            mistake = f"the {source} has two thermometers, the first on line {lines[source]}"
            sheet.wrong(keys["source"], mistake)
        elif source is not None:
            lines[source] = keys["source"].line
        binding = _binding(sheet, item, keys, source or SOURCES[0], folder)
        if binding is not None and source is not None:
            bindings.append(binding)
    return tuple(bindings)


def hygrometer(sheet: Sheet, node: Node, folder: Path) -> Binding | None:
    """Return the binding under `humidity`."""
    keys = sheet.mapping(node, known=SENSOR_KEYS, required=("kind",))
    return _binding(sheet, node, keys, HUMIDITY, folder)


def _source(sheet: Sheet, node: Node) -> str | None:
    if isinstance(node, Scalar) and node.text == HUMIDITY:
        sheet.wrong(node, "humidity stands under a key of its own, beside 'thermometers'")
        return None
    return sheet.word(node, SOURCES)


def _binding(sheet: Sheet, item: Node, keys: dict[str, Node], source: str, folder: Path) -> Binding | None:
    if "kind" not in keys:
        return None
    humid = source == HUMIDITY
    kinds = tuple(kind for kind in KINDS if not (humid and kind == "w1"))
    kind = sheet.word(keys["kind"], kinds)
    if kind is None:
        return None
    for key, node in keys.items():
        if key not in KEYS_OF_KIND[kind] and key not in COMMON:
            sheet.wrong(node, f"'{key}' says nothing of a sensor of kind {kind}")
    device, path = _place(sheet, item, keys, kind, folder)
    return Binding(
        source=source,
        kind=kind,
        device=device,
        path=path,
        channel=_channel(sheet, keys),
        unit=sheet.value(keys["unit"], _unit(humid)) if "unit" in keys else None,
        every=_seconds(sheet, keys, "every", 1.0 if kind == "w1" else 0.5, 600.0) or Binding.every,
        smoothing=_or_word(sheet, keys, "smoothing", ("none", 0.0), Binding.smoothing) or 0.0,
        stale=_or_word(sheet, keys, "stale", ("never", None), Binding.stale),
        name=_name(sheet, keys["name"]) if "name" in keys else None,
    )


def _place(
    sheet: Sheet, item: Node, keys: dict[str, Node], kind: str, folder: Path
) -> tuple[str | None, str | None]:
    device = path = None
    if "device" in keys and "device" in KEYS_OF_KIND[kind]:
        device = sheet.value(keys["device"], _w1 if kind == "w1" else _device)
    if "path" in keys:
        named_path = path_of(sheet, keys["path"], folder)
        path = None if named_path is None else str(named_path)
    if "device" in keys and "path" in keys and kind != "file":
        sheet.wrong(keys["path"], "a sensor has a device or a path, not both")
    if "device" not in keys and "path" not in keys:
        wanted = "'path'" if kind == "file" else "'device' or 'path'"
        sheet.wrong(item, f"which sensor? the key {wanted} is missing")
    return device, path


def _device(text: str) -> str:
    if "/" in text:
        raise QuantityError(f"{quoted(text)} is a path: write it under the key 'path'")
    return text


def _w1(text: str) -> str:
    match = _W1.fullmatch(_device(text))
    if match is None:
        raise QuantityError(
            f"{quoted(text)} is no 1-wire name: expected two and twelve hex digits, such as 28-0316a2b3c4d5"
        )
    if match[1].lower() not in FAMILIES:
        raise QuantityError(f"{quoted(text)} is no thermometer: their names begin with {', '.join(FAMILIES)}")
    return text


def _channel(sheet: Sheet, keys: dict[str, Node]) -> str | None:
    if "channel" not in keys:
        return None
    text = sheet.text(keys["channel"])
    if text is not None and not _CHANNEL.fullmatch(text):
        sheet.wrong(keys["channel"], f"{quoted(text)} is no channel: expected a word such as temp1")
        return None
    if text is not None and "path" in keys:
        sheet.wrong(keys["channel"], "a path already names its channel")
    return text


def _unit(humid: bool) -> Callable[[str], str]:
    def reader(text: str) -> str:
        unit = _UNITS.get(text.lower())
        if unit is None or (unit == "%") != humid:
            expected = "%" if humid else "C or F"
            raise QuantityError(f"{quoted(text)} is no unit here: expected {expected}")
        return unit

    return reader


def _seconds(sheet: Sheet, keys: dict[str, Node], key: str, least: float, most: float) -> float | None:
    if key not in keys:
        return None
    return sheet.value(keys[key], lambda text: duration(text, least=least, most=most))


def _or_word(
    sheet: Sheet, keys: dict[str, Node], key: str, word: tuple[str, float | None], without: float | None
) -> float | None:
    """Return the seconds under a key; `word` is (a word allowed instead, its value)."""
    text = sheet.text(keys[key]) if key in keys else None
    if text is None:
        return without
    return word[1] if text == word[0] else _seconds(sheet, keys, key, 0.5, 86400.0)


def _name(sheet: Sheet, node: Node) -> str | None:
    name = line_of_text(sheet, node, LONGEST_NAME)
    if name is not None and name.lower() in NOT_NAMES:
        sheet.wrong(node, f"'{name}' is a word of the log's own: choose another name")
        return None
    return name
