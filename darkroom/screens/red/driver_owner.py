"""What the driver of the terminal needs of the application that it reads and writes for."""

from __future__ import annotations

from typing import Protocol

from darkroom.screens.red.output_lock import OutputLock


class Owner(Protocol):
    """What the driver needs of its application."""

    lock: OutputLock

    def repaint(self) -> None:
        """Paint every cell."""

    def set_colours(self) -> None:
        """Set the terminal's colours and paint every cell."""

    def line_freed(self) -> None:
        """Paint again: the terminal has taken what it was sent."""

    def input_ended(self) -> None:
        """Leave in order: there is no terminal any more."""
