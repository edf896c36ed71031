"""Copies of shipped processes with times of seconds, which ask where the shipped ones ask."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import yaml

from darkroom.resources import profiles_dir

THREE = ("tintype", "negative", "clear-glass-cyanide")
"""A tintype, a negative, a plate fixed in cyanide."""
SHORT: Mapping[str, Mapping[str, Any]] = {
    "sensitise": {"time": "26 s"},
    "expose": {"lead_in": "3 s"},
    "develop": {"lead_in": "3 s", "time": {"at": "20 °C", "is": "9 s", "coefficient": "1.9"}},
    "rinse": {"time": "12 s"},
    "fix": {"expect": ["12 s", "1 min"]},
    "wash": {"time": "14 s"},
}
"""What is put in the place of a stage's own; a stage with `at_least` keeps the plate for `LEAST`."""
LEAST = "4 s"


def write(
    folder: Path, names: tuple[str, ...] = THREE, short: Mapping[str, Mapping[str, Any]] = SHORT
) -> list[Path]:
    """Write shortened copies into a folder as "1-tintype.yaml" and so on; return the paths."""
    paths = []
    for place, name in enumerate(names, 1):
        path = folder / f"{place}-{name.rpartition('-')[2]}.yaml"
        write_one(path, name, short)
        paths.append(path)
    return paths


def write_one(path: Path, name: str, short: Mapping[str, Mapping[str, Any]]) -> None:
    """Write a shortened copy of a shipped process to a file."""
    path.parent.mkdir(parents=True, exist_ok=True)
    text = yaml.safe_dump(shortened(name, short), allow_unicode=True, sort_keys=False)
    path.write_text(text, encoding="utf-8")


def shortened(name: str, short: Mapping[str, Mapping[str, Any]] = SHORT) -> dict[str, Any]:
    """Return a shipped process file as plain data, its stages shortened."""
    text = (profiles_dir() / f"{name}.yaml").read_text(encoding="utf-8")
    process: dict[str, Any] = yaml.load(text, yaml.BaseLoader)
    for stage in process["stages"]:
        stage.update(short.get(stage["name"], {}))
        if "time" in short.get(stage["name"], {}):
            stage.pop("wash", None)
        if "at_least" in stage:
            stage["at_least"] = LEAST
    return process
