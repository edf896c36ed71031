"""The names of `typing_extensions` that Python itself has, without that module: it is large."""

from __future__ import annotations

import sys
import typing

from darkroom.screens.lean_toolkit.stand_ins import StandIn

TYPING_NAMES = (
    "Final", "Literal", "NotRequired", "ParamSpec", "Protocol", "Required", "Self", "TypeAlias", "TypeGuard",
    "TypedDict", "get_type_hints", "runtime_checkable",
)  # fmt: skip
"""Names of `typing_extensions` that `typing` has since Python 3.11, the oldest that runs this program."""


def stand_in_for_typing() -> None:
    """Let `typing_extensions` be the names of `typing`, until another of its names is asked for."""
    if "typing_extensions" in sys.modules:
        return
    module = StandIn("typing_extensions")
    for name in TYPING_NAMES:
        setattr(module, name, getattr(typing, name))
    sys.modules["typing_extensions"] = module
