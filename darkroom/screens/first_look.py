"""What is asked of the log waits until the first screen has stood for a moment."""

from __future__ import annotations

from collections.abc import Callable


class FirstLook:
    """Keeps what is to be asked while the first screen is looked at.

    A thread that reads the log takes the processor from the first frame, and from the keys just after it.
    """

    def __init__(self) -> None:
        """The first screen is still to come."""
        self._waiting: list[Callable[[], None]] | None = []

    def ask(self, ask: Callable[[], None]) -> None:
        """Ask now, or once the first look is over."""
        if self._waiting is None:
            ask()
        else:
            self._waiting.append(ask)

    def over(self) -> None:
        """Ask what waits, in order; from now on nothing does."""
        waiting, self._waiting = self._waiting or [], None
        for ask in waiting:
            ask()
