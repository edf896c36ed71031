"""The audit that the red tests rest on finds what it must: these are its own controls."""

from __future__ import annotations

import pytest

from tests.kit.audit import audit

SET_UP = b"\x1b]11;rgb:00/00/00\x1b\\\x1b[?1049h"
RED = b"\x1b[38;2;175;0;0;48;2;0;0;0m"


@pytest.mark.parametrize(
    ("data", "depth"),
    [
        (b"white", 24), (b"\x1b[38;2;175;0;0mno ground", 24), (b"\x1b[31;40mpalette", 24),
        (RED + b"x\x1b[0my", 24),
        (b"\x1b[38;2;175;1;0;48;2;0;0;0mgreen", 24), (b"\x1b[38;2;175;0;0;48;2;0;0;9mblue", 24),
        (RED + b"\x1b[39mown", 24), (RED + "\U0001f4f7".encode(), 24), (RED + b"24 in 256", 8),
        (b"\x1b[38;5;53;48;5;16mpink", 8), (b"\x1b[38;5;124mno ground", 8), (b"\x1b[1;31;40mbold", 4),
        (b"\x1b[37;40mwhite", 4), (b"\x1b[31;40;5mblink", 4), (RED + b"\x1b[5mblink", 24),
        (b"\x1b]10;rgb:ff/ff/ff\x1b\\", 24), (b"\x1b]P7aaaaaa", 4),
    ],
)  # fmt: skip
def test_a_leak_is_found(data: bytes, depth: int) -> None:
    """Each of these cells is not pure red in its mode, and is reported once."""
    assert len(audit(SET_UP + data, depth)) == 1


@pytest.mark.parametrize(
    ("data", "depth"),
    [
        (RED + b"red\x1b[0m", 24),
        (b"\x1b[38;5;124;48;5;16mred", 8),
        (b"\x1b[31;40mred\x1b[30;41mturned", 4),
        (RED + b"\x1b[1mbold", 24),
        (b"\x1b]P1af0000", 4),
        (RED + b"red\x1b[0m\x1b]111\x1b\\white", 24),
    ],
)
def test_pure_red_is_let_be(data: bytes, depth: int) -> None:
    """Each of these is pure, and what follows the colours' return is the terminal's own affair."""
    assert audit(SET_UP + data, depth) == []


def test_the_order_is_checked() -> None:
    """An alternate screen before the colours is a leak, however red its text is."""
    assert "before" in audit(b"\x1b[?1049h" + RED + b"x")[0].what
    assert len(audit(b"\x1b[?1049h\x1b[2J" + RED + b"x")) == 2
