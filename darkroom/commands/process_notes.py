"""What `process check` notes of a right file: what the voice cannot say of it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from darkroom import resources
from darkroom.devices.sound.sound_files import recorded
from darkroom.errors import NotReadable, Problem, ProblemsError
from darkroom.log.store import paths
from darkroom.process.model import Process
from darkroom.process.text import yaml_reader
from darkroom.process.text.tree import Items, Keys, Node
from darkroom.session.speech import SpokenSet
from darkroom.session.unspoken import unspoken
from darkroom.settings import settings


class Note(NamedTuple):
    """What has no recording: where it stands in its file, in the form of a mistake, and its own members."""

    place: Problem
    members: dict[str, object]


def spoken_set() -> SpokenSet:
    """Return the recordings there are: the shipped ones, and those of the folder that the settings name."""
    try:
        folder = settings.load(settings.path_in(paths.home())).sound.folder
    except (ProblemsError, NotReadable):
        folder = None
    return SpokenSet(recorded(folder))


def notes(path: Path, process: Process, spoken: SpokenSet) -> list[Note]:
    """Return what the voice cannot say of the process in a file. Raises NotReadable."""
    found = unspoken(process, spoken)
    if not found:
        return []
    root = yaml_reader.read(resources.read_bytes(path), str(path)).root
    lines = {} if root is None else dict(_lines(root))
    return [
        Note(
            Problem(str(path), _line(lines, one.key), one.key, one.what),
            {"words": one.words, "instead": one.instead},
        )
        for one in found
    ]


def _line(lines: dict[str, int], key: str) -> int | None:
    """Return the line of a key; a list that was written as one text has the line of its key."""
    return lines.get(key) or lines.get(key.rpartition("[")[0])


def _lines(node: Node) -> Iterator[tuple[str, int]]:
    yield node.path, node.line
    children: list[Node] = []
    if isinstance(node, Items):
        children = node.items
    elif isinstance(node, Keys):
        children = list(node.entries.values())
    for child in children:
        yield from _lines(child)
