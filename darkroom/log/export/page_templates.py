"""The templates of pages: HTML files that stand alone, without script or network, the style inside.

Jinja2 escapes every value; `clean` replaces the characters that HTML forbids. Only `Markup` goes in as it is:
the style sheets of this package, and drawings, whose words `svg_shapes` escapes.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache, lru_cache
from importlib.resources import files

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape

from darkroom.process.text.plain_text import legal, plain

_PACKAGE = "darkroom.log.export"


@cache
def environment() -> Environment:
    """Return what all templates share. A value that a template asks for and does not get is an error."""
    shared = Environment(
        loader=PackageLoader(_PACKAGE),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=clean,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        auto_reload=False,
    )
    shared.filters.update(typed=typed, plain=plain)
    return shared


def page(template: str, style: str, **values: object) -> Iterator[bytes]:
    """Yield a page as UTF-8, piece by piece; a value that is an iterator is gone through as it is written.

    `template` and `style` name a template and a style sheet of this package.
    """
    css = Markup(files(_PACKAGE).joinpath(style).read_text("utf-8"))
    for piece in environment().get_template(template).generate(css=css, **values):
        yield piece.encode()


def clean(value: object) -> str:
    """Return a value as text that HTML allows, still to be escaped; `Markup` stays as it is."""
    return value if isinstance(value, Markup) else legal(str(value))


SHORT = 64
"""Words of so many letters are kept as they are written: names of stages and bottles stand on every plate."""


def typed(text: object) -> Markup:
    """Return text that people typed: set apart, so that its direction of writing stays its own."""
    return Markup(f"<bdi>{text}</bdi>") if isinstance(text, Markup) else Markup(typed_text(str(text)))


def typed_text(words: str) -> str:
    """Return the same of words that are no markup, as plain text for markup that is put together by hand."""
    return _typed_often(words) if len(words) <= SHORT else _typed(words)


def told(words: str) -> str:
    """Return words as they stand in markup, between tags or in a value between quotation marks."""
    return _told_often(words) if len(words) <= SHORT else _told(words)


def _told(words: str) -> str:
    return str(escape(legal(words)))


def _typed(words: str) -> str:
    return f"<bdi>{escape(legal(words))}</bdi>"


_told_often = lru_cache(4096)(_told)
_typed_often = lru_cache(4096)(_typed)
