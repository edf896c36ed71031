"""What a terminal shows of the frames of an application that runs without one, against a whole frame."""

from __future__ import annotations

from typing import Any

import pyte
from textual._compositor import CompositorUpdate
from textual.screen import Screen

from darkroom.screens.red.red_app import RedApp
from darkroom.screens.red.shown_cells import ShownCells
from tests.kit.terminal import PlainScreen

Rows = list[list[tuple[str, str, str, bool]]]
"""Each cell: its character, its colours, whether it is bold."""


class FramesShown:
    """Sends each frame of an application to a terminal of its own; `sent_red` is what was sent but by day."""

    def __init__(self, app: RedApp) -> None:
        """Follow the application from here on; nothing of it is shown yet."""
        self._app = app
        self._painted = app._display
        self.sent_red = ""
        self._screen = PlainScreen(1, 1)
        self._stream = pyte.Stream(self._screen)
        app._display = self._display  # type: ignore[method-assign]

    def _display(self, screen: Screen[Any], renderable: Any) -> None:
        if not self._app._batch_count and isinstance(renderable, CompositorUpdate):
            self._take(self._app.shown.changes(renderable, self._app.console))
        self._painted(screen, renderable)

    def _take(self, text: str) -> None:
        size = self._app.size
        if (self._screen.columns, self._screen.lines) != (size.width, size.height):
            self._screen.resize(size.height, size.width)
        if not self._app.day:
            self.sent_red += text
        self._stream.feed(text)

    def is_whole(self) -> bool:
        """Return whether the terminal shows what painting every cell of the top screen would show."""
        return self.rows() == self.whole()

    def rows(self) -> Rows:
        """Return what the terminal shows."""
        return _cells(self._screen)

    def whole(self) -> Rows:
        """Return what a terminal shows that got the top screen whole."""
        size = self._app.size
        screen = PlainScreen(size.width, size.height)
        update = self._app.screen._compositor.render_update(full=True)
        assert isinstance(update, CompositorUpdate)
        # not as the toolkit sends it: pyte drops what follows a mark without a width in the same piece
        pyte.Stream(screen).feed(ShownCells().changes(update, self._app.console))
        return _cells(screen)


def _cells(screen: pyte.Screen) -> Rows:
    return [
        [
            (char.data, char.fg, char.bg, char.bold)
            for char in (screen.buffer[y][x] for x in range(screen.columns))
        ]
        for y in range(screen.lines)
    ]
