"""Runs the tool, which fails when it draws the bench: `crashing_tool.py STAGE TIMES`.

The bench fails while the large plate is in STAGE, in the first TIMES runs of the application.
"""

from __future__ import annotations

import sys
from typing import Any

from darkroom.screens.lean_toolkit.load import load
from darkroom.screens.red.terminal import prepare_environment

prepare_environment()  # before the toolkit is imported
load()  # as the tool itself does: what a crash needs of it is loaded then

from darkroom import cli  # noqa: E402
from darkroom.screens.app import Tool  # noqa: E402
from darkroom.screens.bench.screen import BenchScreen  # noqa: E402
from darkroom.screens.services import Services  # noqa: E402

WHAT = "made to fail"


def fail(stage: str, times: int) -> None:
    """Have the bench fail."""
    draw, make = BenchScreen.draw, Tool.__init__
    runs: list[Tool] = []

    def counted(self: Tool, services: Services) -> None:
        runs.append(self)
        make(self, services)

    def failing(self: BenchScreen, view: Any, now: float) -> None:
        if view.large is not None and view.large.stage.name == stage and len(runs) <= times:
            raise RuntimeError(WHAT)
        draw(self, view, now)

    Tool.__init__, BenchScreen.draw = counted, failing  # type: ignore[method-assign]


if __name__ == "__main__":
    fail(sys.argv[1], int(sys.argv[2]))
    sys.exit(cli.main(["bench", "clear-glass"]))
