"""What every command and the full-screen tool load first, without the parts that only few of them use."""

from __future__ import annotations

import importlib
import os

from darkroom.screens.lean_toolkit.stand_ins import Names, stood_in
from darkroom.screens.lean_toolkit.typing_names import stand_in_for_typing

EARLY: dict[str, Names] = {
    "urllib.parse": Names(("quote_from_bytes",)),  # how a path becomes an address
    "msgspec.inspect": Names(),
    "msgspec._json_schema": Names(("schema", "schema_components")),
}
"""{module: what of it is taken by name while the early modules are loaded}."""
if hasattr(os, "uname"):
    EARLY["platform"] = Names(given={"system": lambda: os.uname().sysname})  # all that `uuid` asks of it

MODULES = ("pathlib", "uuid", "msgspec")


def load() -> None:
    """Load what is loaded first; what is there already stays as it is."""
    stand_in_for_typing()
    with stood_in(EARLY):
        for name in MODULES:
            importlib.import_module(name)
