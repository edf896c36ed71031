"""Stand-ins for modules: nothing is loaded until it is used, and then everything is the module's own."""

from __future__ import annotations

import importlib
import sys
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest

from darkroom.screens.lean_toolkit.stand_ins import LateName, Names, StandIn, stood_in, withheld

SOURCE = """
SIZE = 3
class Box:
    side = 2
class Base:
    kind = "real"
def double(number, *, plus=0):
    return 2 * number + plus
"""
NAME = "a_module_for_stand_ins"
TABLE = {NAME: Names(("double", "Box"), ("Base",))}


@pytest.fixture(autouse=True)
def module_to_stand_in_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Let a module be found that nobody has loaded."""
    (tmp_path / f"{NAME}.py").write_text(SOURCE)
    monkeypatch.syspath_prepend(str(tmp_path))
    yield
    sys.modules.pop(NAME, None)


def _imported() -> ModuleType:
    return importlib.import_module(NAME)


def test_a_module_is_loaded_when_a_function_of_it_is_called() -> None:
    """The stand-in's function loads the module, in the block or after it, and gives what its own gives."""
    with stood_in(TABLE):
        double = _imported().double
        assert isinstance(sys.modules[NAME], StandIn)
    assert NAME not in sys.modules
    assert (double(3), double(5, plus=1)) == (6, 11)
    assert not isinstance(sys.modules[NAME], StandIn)


def test_a_module_is_loaded_for_an_attribute_of_a_class() -> None:
    """What is asked of a class is the real class's, and what it makes is of the real class."""
    with stood_in(TABLE):
        box = _imported().Box
    assert box.side == 2
    assert type(box()) is _imported().Box


def test_a_name_used_in_the_block_is_the_real_one() -> None:
    """A call while the module is stood in for loads it, and later imports in the block get the real one."""
    with stood_in(TABLE):
        assert _imported().double(4) == 8
        assert not isinstance(_imported(), StandIn)
    assert not isinstance(sys.modules[NAME], StandIn)


def test_nothing_is_of_a_class_that_nobody_has_loaded() -> None:
    """A test against the class loads nothing; once the module is there it is the class's own."""
    with stood_in(TABLE):
        box = _imported().Box
        assert not isinstance("a text", (box, bytes))
    assert NAME not in sys.modules
    assert isinstance(_imported().Box(), box) and not isinstance(3, box)


def test_a_name_that_was_not_foreseen_is_the_modules() -> None:
    """Who imports the module meanwhile finds all of it; what is not in it is an AttributeError."""
    with stood_in(TABLE):
        assert _imported().SIZE == 3
    with stood_in({NAME: Names()}), pytest.raises(AttributeError):
        _ = _imported().nothing


def test_a_base_is_an_empty_class() -> None:
    """A class can derive from a base without the module."""
    with stood_in(TABLE):
        derived = type("Derived", (_imported().Base,), {})
    assert NAME not in sys.modules and not hasattr(derived, "kind")


def test_a_loaded_module_is_left_alone() -> None:
    """Who has the module keeps it: no stand-in comes in its place, and it stays after the block."""
    real = _imported()
    with stood_in(TABLE):
        assert _imported() is real
    assert sys.modules[NAME] is real


def test_a_late_name_tells_what_it_stands_for() -> None:
    """The name is told without loading the module."""
    assert f"{NAME}.double" == repr(LateName(NAME, "double"))
    assert NAME not in sys.modules


def test_a_withheld_module_cannot_be_imported_in_the_block() -> None:
    """The import fails as on a system without it, and works after the block; a loaded one is not withheld."""
    with withheld(NAME), pytest.raises(ImportError):
        _imported()
    real = _imported()
    with withheld(NAME):
        assert _imported() is real
    assert sys.modules[NAME] is real
