"""The sound library without the modules that its stream never uses: they are half of the player's memory.

miniaudio imports numerics and the network for what it does besides playing (internet radio, arrays of another
library). Stand-ins hold their places while it is imported. Only the player does so: in it nothing else
needs them.
"""

from __future__ import annotations

import sys
import urllib  # noqa: F401  the parent of a stand-in is to be the real one
from importlib import import_module
from types import ModuleType
from typing import Any

STOOD_IN = ("urllib.request", "html", "inspect")
"""Empty modules stand in for these: miniaudio names them in functions that are not called here."""
ABSENT = ("numpy",)
"""These count as not installed, which miniaudio provides for."""


def miniaudio() -> Any:
    """Return the module miniaudio. Raises whatever its import raises.

    A module that is loaded already stays as it is. Where a version of miniaudio needs more of a
    stand-in than that it is there, it is imported as it always is.
    """
    if "miniaudio" in sys.modules:
        return sys.modules["miniaudio"]
    held = [name for name in (*STOOD_IN, *ABSENT) if name not in sys.modules]
    modules: dict[str, Any] = sys.modules  # None is how the import system notes what is not to be had
    for name in held:
        modules[name] = None if name in ABSENT else ModuleType(name)
    try:
        return import_module("miniaudio")
    except Exception:
        sys.modules.pop("miniaudio", None)
    finally:
        for name in held:
            modules.pop(name, None)
    return import_module("miniaudio")
