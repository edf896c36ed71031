"""Texts for the form of the next plate that were typed on another page."""

from __future__ import annotations

from collections.abc import Mapping

from darkroom.screens.host import Host, HostScreen


def take_texts(tool: Host, texts: Mapping[str, str]) -> None:
    """Give {field: text} to the form of the next plate: to the one that stands open, and to its draft."""
    tool.services.memory.draft |= texts
    for screen in tool.screen_stack:
        if isinstance(screen, HostScreen):
            for field, text in texts.items():
                screen.take_field(field, text)
