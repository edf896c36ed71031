"""Text made safe for a page: nothing that was typed becomes markup, or turns the words around it."""

from __future__ import annotations

from darkroom.process.text.plain_text import legal


def escape(text: object) -> str:
    """Return text for an element or a quoted attribute."""
    import html

    return html.escape(legal(str(text)), quote=True)


def typed(text: object) -> str:
    """Return text that people typed: set apart, so that its direction stays its own."""
    return f"<bdi>{escape(text)}</bdi>"
