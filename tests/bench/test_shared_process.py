"""A process that many plates of a log share: whoever would change it for one of them is refused."""

from __future__ import annotations

import copy
import pickle
from collections.abc import Callable
from typing import Any

import msgspec
import pytest

from darkroom.bench import shared_process

RAW = b'{"name":"Collodion","stages":[{"name":"coat","expect":[10.0,30.0]}],"temperatures":{"room":20.0}}'
PLAIN = msgspec.json.decode(RAW)

CHANGES: list[Callable[[Any], object]] = [
    lambda process: process.__setitem__("name", "Other"),
    lambda process: process.update(name="Other"),
    lambda process: process.setdefault("plate", "glass"),
    lambda process: process.__ior__({"name": "Other"}),
    lambda process: process.pop("name"),
    lambda process: process.clear(),
    lambda process: process["stages"].append({}),
    lambda process: process["stages"].__iadd__([{}]),
    lambda process: process["stages"].sort(),
    lambda process: process["stages"][0].__setitem__("name", "fix"),
    lambda process: process["stages"][0]["expect"].__setitem__(0, 5.0),
    lambda process: process["stages"][0]["expect"].__delitem__(0),
    lambda process: process["temperatures"].popitem(),
]


@pytest.mark.parametrize("change", CHANGES)
def test_a_change_is_refused_at_every_depth(change: Callable[[Any], object]) -> None:
    """The change raises, and another plate with the same bytes has the process as its journal tells it."""
    with pytest.raises(TypeError, match="cannot be changed"):
        change(shared_process.shared(RAW))
    assert shared_process.shared(RAW) == PLAIN
    assert msgspec.json.decode(shared_process.shared(RAW).text) == PLAIN


def test_every_way_to_change_a_mapping_or_a_list_is_refused() -> None:
    """All methods that Python's mutable mappings and lists have beyond those that only read are refused."""
    shared = shared_process.shared(RAW)
    refusing = type(shared).__setitem__
    for value, reading in (
        (shared, frozenset(dir(tuple)) | READING),
        (shared["stages"], frozenset(dir(tuple))),
    ):
        plain = dict if isinstance(value, dict) else list
        for name in set(dir(plain)) - reading - {"__reversed__", "copy", "__class_getitem__"}:
            assert getattr(type(value), name) is refusing, name


READING = frozenset({"fromkeys", "get", "items", "keys", "values", "__or__", "__ror__"})
"""What a dict has beyond a tuple that changes nothing."""


@pytest.mark.parametrize("copied", [copy.deepcopy, lambda value: pickle.loads(pickle.dumps(value))])
def test_a_copy_can_be_changed(copied: Callable[[Any], Any]) -> None:
    """A deep copy, and what another process gets, are plain values of their own."""
    own = copied(shared_process.shared(RAW))
    assert own == PLAIN
    own["stages"][0]["expect"].append(1.0)
    own["temperatures"]["room"] = 5.0
    assert shared_process.shared(RAW) == PLAIN
