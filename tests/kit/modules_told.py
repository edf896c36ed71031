"""Runs darkroom and tells which modules it has loaded: `modules_told.py FOLDER WORD…`.

Once there is a file `ask` in FOLDER the names of the modules that are loaded at that moment are written to
`told`, one a line; those of stand-ins are left out.
"""

from __future__ import annotations

import os
import sys
import threading
import time


def tell(folder: str) -> None:
    """Wait until it is asked, then write the names."""
    while not os.path.exists(os.path.join(folder, "ask")):
        time.sleep(0.05)
    names = [name for name, module in list(sys.modules.items()) if type(module).__name__ != "StandIn"]
    with open(os.path.join(folder, "told.part"), "w", encoding="utf-8") as file:
        file.write("\n".join(names))
    os.rename(file.name, os.path.join(folder, "told"))


if __name__ == "__main__":
    threading.Thread(target=tell, args=(sys.argv[1],), daemon=True).start()
    sys.argv = ["darkroom", *sys.argv[2:]]
    from darkroom.cli import run

    run()
