"""The filter on every line, and the gate before the terminal."""

from __future__ import annotations

import re

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.color import Color as RichColor
from rich.segment import ControlType, Segment
from rich.style import Style
from textual.color import Color
from textual.strip import Strip

from darkroom.screens.red.line_filter import RedFilter, without_pictures
from darkroom.screens.red.output_lock import OutputLock
from darkroom.screens.red.terminal import Depth
from tests.kit.audit import audit
from tests.kit.nightly import examples

DEPTHS: tuple[Depth, ...] = (24, 8, 4)
SYSTEMS = {24: "truecolor", 8: "256", 4: "standard"}
SET_UP = b"\x1b]10;rgb:af/00/00\x1b\\\x1b]11;rgb:00/00/00\x1b\\"

colours = st.one_of(
    st.none(),
    st.just(RichColor.default()),
    st.builds(RichColor.from_rgb, *[st.integers(0, 255)] * 3),
    st.builds(RichColor.from_ansi, st.integers(0, 255)),
)
flags = st.sampled_from([None, True, False])
styles = st.one_of(
    st.none(),
    st.builds(
        Style,
        color=colours,
        bgcolor=colours,
        bold=flags,
        dim=flags,
        italic=flags,
        underline=flags,
        blink=flags,
        reverse=flags,
        conceal=flags,
        strike=flags,
        link=st.sampled_from([None, "https://example.invalid"]),
    ),
)
grounds = st.builds(Color, *[st.integers(0, 255)] * 3)


def _bytes(segments: list[Segment], depth: Depth) -> bytes:
    from rich.console import Console

    console = Console(color_system=SYSTEMS[depth], force_terminal=True, legacy_windows=False)  # type: ignore[arg-type]
    return SET_UP + Strip(segments).render(console).encode()


@pytest.mark.parametrize("depth", DEPTHS)
@given(given_style=styles, ground=grounds, brightness=st.integers(0, 5))
@settings(max_examples=examples(150))
def test_any_style_becomes_pure_red(
    depth: Depth, given_style: Style | None, ground: Color, brightness: int
) -> None:
    """Whatever style a segment has, its bytes are pure red on pure red, in every colour mode."""
    rendered = RedFilter(depth, brightness).apply([Segment("x", given_style)], ground)
    assert audit(_bytes(rendered, depth), depth) == []


@pytest.mark.parametrize("depth", DEPTHS)
@given(given_style=styles, ground=grounds, brightness=st.integers(0, 5))
@settings(max_examples=examples(100))
def test_filtering_twice_is_filtering_once(
    depth: Depth, given_style: Style | None, ground: Color, brightness: int
) -> None:
    """A line that goes through a dialog is filtered twice and looks the same."""
    red = RedFilter(depth, brightness)
    once = red.apply([Segment("x", given_style)], ground)
    assert once == red.apply(once, ground) == red.apply(once, Color(12, 200, 30))


@given(red=st.integers(0, 255), ground=st.integers(0, 255), brightness=st.integers(1, 5))
@settings(max_examples=examples(150))
def test_what_differed_still_differs(red: int, ground: int, brightness: int) -> None:
    """Text that could be seen on its ground can be seen after the filter."""
    assume(red != ground)
    style = Style(color=RichColor.from_rgb(red, 0, 0), bgcolor=RichColor.from_rgb(ground, 0, 0))
    for depth in DEPTHS:
        rendered = RedFilter(depth, brightness).apply([Segment("x", style)], Color(0, 0, 0))[0].style
        assert rendered is not None and rendered.color != rendered.bgcolor


def test_control_segments_pass_untouched() -> None:
    """A cursor movement is not text and stays as it is."""
    control = Segment("\x1b[H", None, [(ControlType.HOME,)])
    assert [control] == RedFilter(24, 3).apply([control], Color(0, 0, 0))


def test_equal_filters_are_equal() -> None:
    """The toolkit caches by filter: equal ones are one, another brightness is another."""
    assert RedFilter(24, 3) == RedFilter(24, 3) and hash(RedFilter(24, 3)) == hash(RedFilter(24, 3))
    assert RedFilter(24, 3) != RedFilter(24, 4) != RedFilter(8, 4)


def test_links_are_gone() -> None:
    """A hyperlink would be drawn in the terminal's own colour: its text stays, the link goes."""
    rendered = RedFilter(24, 3).apply([Segment("x", Style(link="https://example.invalid"))], Color(0, 0, 0))
    assert b"example" not in _bytes(rendered, 24)


def test_emoji_become_dots_of_their_width() -> None:
    """A character that terminals draw in colours of its own is replaced; what is beside it stays in place."""
    assert without_pictures("a \U0001f4f7 b") == "a ·· b"
    assert without_pictures("\u26a1 ok") == "·· ok"
    assert without_pictures("°½ – ▀▄█ ‹›") == "°½ – ▀▄█ ‹›"


sequences = st.lists(
    st.one_of(
        st.lists(st.integers(0, 110), max_size=5).map(lambda n: f"\x1b[{';'.join(map(str, n))}m"),
        st.builds("\x1b[38;2;{};{};{}m".format, *[st.integers(0, 300)] * 3),
        st.builds("\x1b[48;5;{}m".format, st.integers(0, 300)),
        st.builds("\x1b[{};{}H".format, *[st.integers(1, 99)] * 2),
        st.sampled_from(
            [
                "\x1b[0m",
                "\x1b[m",
                "\x1b[?2026h",
                "\x1b[38m",
                "\x1b[48;2;1m",
                "\x1b[38:2:9:9:9m",
                "\x1b]P1af0000",
                "\x1b]R",
                "\x1b]10;rgb:af/00/00\x1b\\",
            ]
        ),
        st.text("abc \n▀", min_size=1, max_size=4),
    ),
    max_size=12,
)


@pytest.mark.parametrize("depth", DEPTHS)
@given(writes=st.lists(sequences, max_size=4))
@settings(max_examples=examples(200))
def test_the_gate_lets_nothing_else_through(depth: Depth, writes: list[list[str]]) -> None:
    """Any mixture of colour sequences and text, in any number of writes, leaves the gate pure."""
    lock = OutputLock(depth)
    out = "".join(lock.pure("".join(write)) for write in writes)
    assert audit(SET_UP + out.encode(), depth) == []
    bare = re.compile(r"\x1b\[[0-9;:]*m")
    assert bare.sub("", "".join("".join(write) for write in writes)) == bare.sub("", out)


def test_the_gate_keeps_what_is_pure() -> None:
    """Writes of our own pass byte for byte."""
    own = "\x1b[1;1H\x1b[38;2;175;0;0;48;2;0;0;0mtext\x1b[0m\x1b[2;1H\x1b[1;38;2;95;0;0;48;2;0;0;0mx\x1b[0m"
    assert own == OutputLock(24).pure(own)


def test_the_gate_dims() -> None:
    """A red brighter than allowed is dimmed at the gate."""
    lock = OutputLock(24)
    lock.dim_to(95)
    assert lock.pure("\x1b[38;2;255;0;0;48;2;0;0;0mx") == "\x1b[0;38;2;95;0;0;48;2;0;0;0mx"


@pytest.mark.parametrize(
    "text", ["👨\u200d👩\u200d👧", "❤\ufe0f", "🏃\u200d♂", "⚡\ufe0f", "👍🏽", "♥\ufe0f\u200d🔥", "🇩🇪"]
)
def test_a_joined_emoji_becomes_dots_of_its_width(text: str) -> None:
    """Characters joined to one picture are as many dots as the toolkit has measured for all of them."""
    assert without_pictures(f"a{text}b") == f"a{'·' * cell_len(text)}b"
