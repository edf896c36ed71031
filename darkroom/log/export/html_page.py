"""One HTML file that stands alone: no script, no network, the style inside."""

from __future__ import annotations

from collections.abc import Iterator
from importlib.resources import files

from darkroom.log.export.markup import escape
from darkroom.process.text.plain_text import plain

_POLICY = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
"""Were anything ever to slip through, the reader's browser would still load and run nothing."""


def opening(title: str, style: str) -> Iterator[bytes]:
    """Yield the page up to its body; `style` names a style sheet of this package."""
    css = files("darkroom.log.export").joinpath(style).read_text("utf-8")
    yield (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{escape(_POLICY)}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(plain(title))}</title>\n<style>\n{css}</style>\n</head>\n<body>\n"
    ).encode()


def closing() -> Iterator[bytes]:
    """Yield the end of the page."""
    yield b"</body>\n</html>\n"
