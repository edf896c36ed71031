"""What a terminal can show, told from its environment alone, and the environment settled for the toolkit."""

from __future__ import annotations

import subprocess
import sys

import pytest

from darkroom.screens.red.terminal import capabilities, closing, opening, prepare_environment


@pytest.mark.parametrize(
    ("environ", "depth", "blocks"),
    [
        ({"TERM": "xterm-256color", "COLORTERM": "truecolor"}, 24, "half"),
        ({"TERM": "xterm", "COLORTERM": "24bit"}, 24, "half"),
        ({"TERM": "xterm-direct"}, 24, "half"),
        ({"TERM": "tmux-256color"}, 8, "half"),
        ({"TERM": "xterm-kitty"}, 8, "half"),
        ({"TERM": "screen"}, 4, "half"),
        ({"TERM": "linux"}, 4, "spaces"),
        ({"TERM": "linux", "COLORTERM": "truecolor"}, 4, "spaces"),
        ({"TERM": "vt220"}, 4, "spaces"),
        ({"TERM": "xterm-256color", "LANG": "de_DE.ISO-8859-1"}, 8, "spaces"),
        ({"TERM": "xterm-256color", "LANG": "de_DE.UTF-8"}, 8, "half"),
        ({"TERM": "xterm-256color", "LANG": "C.UTF-8", "LC_ALL": "C.ISO-8859-15"}, 8, "spaces"),
        ({}, 4, "half"),
    ],
)
def test_what_a_terminal_can(environ: dict[str, str], depth: int, blocks: str) -> None:
    """Colours from TERM and COLORTERM, half blocks unless the console's font or the encoding lacks them."""
    can = capabilities(environ)
    assert (can.depth, can.blocks) == (depth, blocks)
    assert can.colours == {24: 16777216, 8: 256, 4: 16}[depth]


def test_wishes_for_other_colours_are_forgotten() -> None:
    """NO_COLOR and the toolkit's own switches go; the colour system is said; the rest stays."""
    environ = {
        "NO_COLOR": "1",
        "FORCE_COLOR": "3",
        "TEXTUAL_FILTERS": "dim",
        "TEXTUAL": "devtools",
        "TERM": "linux",
        "TEXTUAL_DISABLE_KITTY_KEY": "1",
        "HOME": "/home/someone",
    }
    prepare_environment(environ)
    assert environ == {
        "TERM": "linux",
        "HOME": "/home/someone",
        "TEXTUAL_DISABLE_KITTY_KEY": "1",
        "TEXTUAL_COLOR_SYSTEM": "standard",
        "TEXTUAL_ANIMATIONS": "none",
    }


@pytest.mark.parametrize("environ", [{"TERM": "linux"}, {"TERM": "xterm"}, {"TERM": "xterm-256color"}])
def test_what_is_set_is_given_back(environ: dict[str, str]) -> None:
    """Each colour set at the beginning has its reset at the end (xterm's OSC 1nn, the console's R)."""
    can = capabilities(environ)
    begun, ended = opening(can), closing(can)
    for code in ("10", "11", "12", "4"):
        assert (f"\x1b]{code};" in begun) == (f"\x1b]1{code.zfill(2)}" in ended), code
    assert ("\x1b]P" in begun) == ("\x1b]R" in ended)
    assert begun.endswith("\x1b[2J\x1b[H") and "\x1b[0m" in ended


def test_strikes_and_the_terminal_need_no_toolkit() -> None:
    """Strikes, key maps, lettering and the terminal's set-up load neither the toolkit nor Pillow."""
    code = (
        "import sys\n"
        "import darkroom.session.strikes, darkroom.session.key_map, darkroom.screens.lettering.lettering\n"
        "import darkroom.screens.red.terminal, darkroom.screens.red.output_lock\n"
        "print([name for name in ('textual', 'rich', 'PIL', 'asyncio', 'pint') if name in sys.modules])\n"
    )
    completed = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert completed.stdout.strip() == "[]"
