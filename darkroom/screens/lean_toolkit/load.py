"""What of the toolkit is loaded at the start of the full-screen tool, and what waits until it is used.

The toolkit is pinned to one release; `tests/screens/lean_toolkit/` compares every name here with the real
modules, and says when another release needs another table.
"""

from __future__ import annotations

import importlib
import sys
from contextlib import ExitStack

from darkroom.screens.lean_toolkit.callback_parameters import remember_parameters
from darkroom.screens.lean_toolkit.stand_ins import Names, StandIn, stand_in, stood_in, withheld
from darkroom.screens.lean_toolkit.toolkit_patterns import toolkit_patterns
from darkroom.screens.lean_toolkit.typing_names import stand_in_for_typing

STANDS_IN: dict[str, Names] = {
    # no command palette is ever opened (`RedApp.ENABLE_COMMAND_PALETTE`); it brings eight kinds of widgets
    "textual.command": Names(
        ("CommandListItem", "CommandPalette", "SimpleProvider", "DiscoveryHit", "Hit", "Hits"), ("Provider",)
    ),
    # neither tooltips nor toasts are ever mounted (`RedApp.__init__`)
    "textual.widgets": Names(("Tooltip",)),
    "textual.widgets._toast": Names(("ToastRack",)),
    "textual.file_monitor": Names(("FileMonitor",)),
    # for pages about mistakes in a style sheet, and for a developer's view of the widgets
    "rich.table": Names(("Table",)),
    "rich.panel": Names(("Panel",)),
    "rich.tree": Names(("Tree",)),
    "textual.suggestions": Names(("get_suggestion",)),
    # for styles with actions in them, and for files that an application in a browser hands out
    "pickle": Names(("dumps", "loads")),
    "mimetypes": Names(("guess_type",)),
    "platformdirs": Names(("user_downloads_path",)),
}
"""{module: what of it is imported by name while the toolkit is loaded}."""

STAYS_OUT: dict[str, Names] = {
    "textual.pilot": Names(("Pilot",)),  # every run of an application asks for it, to be driven by a test
}
"""{module: what of it is imported by name at each run of an application}: stood in for until it is used."""

TOOLKIT = ("textual.app", "textual.drivers.linux_driver", "textual.layouts.factory")
"""What is loaded beside the stand-ins; the rest of a start comes with these."""


def load() -> None:
    """Load the toolkit without what this program never uses; where it is loaded already nothing is done.

    Where it cannot be loaded so, as may be with a release that is not the pinned one, it is loaded whole.
    Raises whatever that raises.
    """
    if "textual.app" in sys.modules:
        return
    stand_in_for_typing()
    with withheld("ssl"):  # the network library takes part without it: nothing here speaks to a network
        importlib.import_module("asyncio")
    before = set(sys.modules)
    try:
        _load_lean()
    except Exception:
        for name in set(sys.modules) - before:
            if name.partition(".")[0] in ("textual", "rich"):
                del sys.modules[name]
        if isinstance(sys.modules["typing_extensions"], StandIn):
            del sys.modules["typing_extensions"]
        for name in TOOLKIT:
            importlib.import_module(name)


def _load_lean() -> None:
    with ExitStack() as stack:
        stack.enter_context(stood_in(STANDS_IN))
        stack.enter_context(toolkit_patterns())
        for name in TOOLKIT:
            importlib.import_module(name)
    remember_parameters()
    for name, names in STAYS_OUT.items():
        if name not in sys.modules:
            sys.modules[name] = stand_in(name, names)
