"""An empty application: the floor of start and memory."""

from __future__ import annotations

from textual.app import App


class Empty(App[None]):
    """Nothing at all."""


if __name__ == "__main__":
    Empty().run(mouse=False)
