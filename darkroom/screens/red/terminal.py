"""The terminal itself: what it can do, and its colours set before and given back after everything else.

`prepare_environment()` comes before the toolkit is imported, `with red_terminal():` around the
application. Nothing here imports the toolkit.
"""

from __future__ import annotations

import contextlib
import os
import select
import signal
import sys
from collections.abc import Iterator, Mapping, MutableMapping
from dataclasses import dataclass
from typing import Any, Literal

from darkroom.errors import DarkroomError, WrongUse
from darkroom.screens.red.end_signals import EndSignals
from darkroom.screens.red.foreground import on_stop, wait_for_foreground

Depth = Literal[24, 8, 4]
"""Bits of colour: 24 (any red), 8 (six pure reds of 256 colours), 4 (colours 0 and 1 of 16)."""
Blocks = Literal["half", "spaces"]

STEPS = (0, 95, 135, 175, 215, 255)
"""The only reds there are: those that 256 colours know as pure reds."""
DEFAULT_RED = 175
"""The brightest red at the default brightness: relative luminance 0.091 (sRGB, IEC 61966-2-1)."""

_SYSTEMS = {24: "truecolor", 8: "256", 4: "standard"}
_KEPT = frozenset({"TEXTUAL_DISABLE_KITTY_KEY", "TEXTUAL_SMOOTH_SCROLL"})
_COLOUR_WISHES = (
    "NO_COLOR",
    "FORCE_COLOR",
    "CLICOLOR",
    "CLICOLOR_FORCE",
    "TTY_COMPATIBLE",
    "TTY_INTERACTIVE",
    "ESCDELAY",
    "UNICODE_VERSION",
)


@dataclass(frozen=True, slots=True)
class Capabilities:
    """What the terminal can show: bits of colour, and what large letters are drawn with."""

    depth: Depth
    blocks: Blocks
    term: str = ""

    @property
    def colours(self) -> int:
        """Return the number of colours."""
        return 1 << self.depth


def capabilities(environ: Mapping[str, str] | None = None) -> Capabilities:
    """Return what the terminal named by the environment can show; nothing is asked of the terminal."""
    environ = os.environ if environ is None else environ
    term = environ.get("TERM", "").strip().lower()
    colorterm = environ.get("COLORTERM", "").strip().lower()
    depth: Depth
    if term == "linux" or term.startswith(("vt", "dumb", "ansi", "cons25")):
        depth = 4  # the console shows 24-bit codes by the nearest palette entry: only 0 and 1 are sure
    elif colorterm in ("truecolor", "24bit") or term.endswith("-direct") or "WT_SESSION" in environ:
        depth = 24
    elif "256color" in term or "kitty" in term or "ghostty" in term or term.startswith(("alacritty", "foot")):
        depth = 8
    elif sys.platform == "win32":
        depth = 24
    else:
        depth = 4
    blocks: Blocks = "half"
    if term == "linux" or term.startswith(("vt", "dumb", "cons25")) or not _speaks_unicode(environ):
        blocks = "spaces"
    return Capabilities(depth, blocks, term)


def _speaks_unicode(environ: Mapping[str, str]) -> bool:
    locale = environ.get("LC_ALL") or environ.get("LC_CTYPE") or environ.get("LANG") or ""
    named = locale.partition(".")[2].lower().replace("-", "")
    return not named or named.startswith("utf")  # no locale named: Python itself then writes UTF-8


def prepare_environment(environ: MutableMapping[str, str] | None = None) -> None:
    """Settle what the toolkit reads when it is imported: colour system, no wishes, no animations.

    NO_COLOR would turn reds into greys, which is white light; the toolkit's own debugging switches
    could print in any colour.
    """
    environ = os.environ if environ is None else environ
    for name in list(environ):
        if name in _COLOUR_WISHES or (name.startswith("TEXTUAL") and name not in _KEPT):
            del environ[name]
    environ["TEXTUAL_COLOR_SYSTEM"] = _SYSTEMS[capabilities(environ).depth]
    environ["TEXTUAL_ANIMATIONS"] = "none"


# --- what is sent ------------------------------------------------------------------------


def sgr(depth: Depth, level: int = DEFAULT_RED) -> str:
    """Return the sequence for text of this red on black."""
    if depth == 4:
        return "\x1b[0;31;40m"
    if depth == 8:
        return f"\x1b[0;38;5;{eight_bit(level)};48;5;16m"
    return f"\x1b[0;38;2;{level};0;0;48;2;0;0;0m"


def eight_bit(level: int) -> int:
    """Return the number among 256 colours of a level of `STEPS`."""
    return 16 + 36 * STEPS.index(level)


def palette(can: Capabilities, level: int) -> str:
    """Return the sequence that makes every one of 16 colours this red or black; "" with more colours."""
    if can.depth != 4:
        return ""
    if can.term == "linux":
        return "".join(f"\x1b]P{n:x}{0 if n in (0, 8) else level:02x}0000" for n in range(16))
    entries = ";".join(f"{n};rgb:{0 if n in (0, 8) else level:02x}/00/00" for n in range(16))
    return f"\x1b]4;{entries}\x1b\\"


def opening(can: Capabilities) -> str:
    """Return what is sent before anything else: red on black everywhere, cursor hidden, a clear screen."""
    text = palette(can, DEFAULT_RED)
    if can.term != "linux":
        red = f"rgb:{DEFAULT_RED:02x}/00/00"
        text += f"\x1b]10;{red}\x1b\\\x1b]11;rgb:00/00/00\x1b\\\x1b]12;{red}\x1b\\"
    return text + sgr(can.depth) + "\x1b[?25l\x1b[2J\x1b[H"


def closing(can: Capabilities) -> str:
    """Return what gives the terminal's own colours back."""
    text = "\x1b[0m"
    if can.term == "linux":
        text += "\x1b]R"
    else:
        text += "\x1b]110\x1b\\\x1b]111\x1b\\\x1b]112\x1b\\" + ("\x1b]104\x1b\\" if can.depth == 4 else "")
    return text + "\x1b[?25h"


LEAVE_MODES = (
    "\x1b[?2026l\x1b[?2004l\x1b[?7h\x1b[?2048l\x1b[?1000l\x1b[?1003l\x1b[?1015l\x1b[?1006l\x1b[?1004l\x1b[<u"
    "\x1b[?1049l"
)
"""Ends every mode that the toolkit may have begun; sent when it cannot end them itself."""

NO_TERMINAL = "the full-screen tool draws on standard error, which is no terminal here"


# --- the terminal while the application runs ---------------------------------------------


class RedTerminal:
    """The terminal in red: `enter` and `leave` in this order, each once."""

    def __init__(self, can: Capabilities, signals: EndSignals | None = None) -> None:
        """Remember where the toolkit draws; nothing is sent yet. `signals` are watched by the caller."""
        self.can = can
        self.signals = signals or EndSignals()
        self._own_signals = signals is None
        self._fd = sys.__stderr__.fileno() if sys.__stderr__ is not None else 2
        self._attributes: list[Any] | None = None
        self._left = False

    def enter(self) -> None:
        """Set the colours, once the terminal is ours; the signals that end the program give them back."""
        if not os.isatty(self._fd):
            raise WrongUse(NO_TERMINAL)
        wait_for_foreground(self._fd)
        self._attributes = _attributes()
        self.signals.give_back = self.give_back
        if self._own_signals:
            self.signals.watch()
        on_stop(signal.SIG_IGN)  # until the driver handles it: a stop would leave the shell in red
        self.write(opening(self.can))

    def leave(self) -> None:
        """Give the terminal's own colours back and forget what was typed ahead."""
        if self._left:
            return
        self._left = True
        self.write(closing(self.can))
        _give_back(self._attributes)
        on_stop(signal.SIG_DFL)
        self.signals.left()
        if self._own_signals:
            self.signals.forget()

    def give_back(self) -> None:
        """Give the terminal back under an application that does not leave."""
        if not self._left:
            self.write(LEAVE_MODES + closing(self.can))
            _give_back(self._attributes)

    def let_go(self) -> None:
        """Leave the modes as they are: the terminal is another job's, and leaving must not stop this one."""
        self._attributes = None
        signal.signal(signal.SIGTTOU, signal.SIG_IGN)

    def write(self, text: str) -> None:
        """Send a sequence where the toolkit draws; a terminal that is gone or stalled is let be."""
        send(self._fd, text)


def send(fd: int, text: str) -> None:
    """Send text to a terminal; one that is gone, or takes nothing for a second, is let be."""
    data = text.encode("utf-8", "replace")
    with contextlib.suppress(OSError, ValueError):
        while data and _ready(fd):
            data = data[os.write(fd, data) :]


_now: RedTerminal | None = None


def current() -> RedTerminal | None:
    """Return the terminal in red, while there is one."""
    return _now


@contextlib.contextmanager
def red_terminal(can: Capabilities | None = None, signals: EndSignals | None = None) -> Iterator[RedTerminal]:
    """Red while the block runs; the terminal's own colours after it, however it ends.

    `signals` are watched by the caller; without them the block watches its own. An unexpected exception is
    printed in red and becomes exit status 1.
    """
    global _now  # noqa: PLW0603  # there is one terminal, and signals know no other way to it
    terminal = RedTerminal(can or capabilities(), signals)
    terminal.enter()
    _now = terminal
    try:
        yield terminal
    except DarkroomError:
        raise
    except Exception as error:
        import traceback

        terminal.write(LEAVE_MODES + sgr(terminal.can.depth) + "\r\n")
        terminal.write("".join(traceback.format_exception(error)).replace("\n", "\r\n"))
        raise SystemExit(1) from None
    finally:
        _now = None
        terminal.leave()


def red_page(lines: list[str], can: Capabilities | None = None) -> None:
    """Show a page in red and wait for a key: for when the application itself cannot be shown.

    Call it inside `red_terminal()`; it needs no toolkit.
    """
    terminal = _now or RedTerminal(can or capabilities())
    before = _attributes()
    try:
        _raw(before)  # first: it drops what was typed before, and no key may be lost after the page stands
        terminal.write("\x1b[?1049h" + sgr(terminal.can.depth) + "\x1b[?25l\x1b[2J\x1b[2;3H")
        terminal.write("\r\n  ".join(line.replace("\x1b", "?") for line in lines))
        with contextlib.suppress(OSError):
            os.read(sys.__stdin__.fileno() if sys.__stdin__ else 0, 64)
    finally:
        _give_back(before)
        terminal.write(sgr(terminal.can.depth) + "\x1b[2J\x1b[?1049l")


def _ready(fd: int) -> bool:
    """Return whether the terminal takes something within a second; Windows cannot be asked."""
    return sys.platform == "win32" or bool(select.select([], [fd], [], 1.0)[1])


def _attributes() -> list[Any] | None:
    try:
        import termios

        return termios.tcgetattr(sys.__stdin__.fileno() if sys.__stdin__ else 0)
    except Exception:  # no termios here, or no terminal: there is nothing to give back
        return None


def _raw(before: list[Any] | None) -> None:
    if before is not None:
        import tty

        tty.setraw(sys.__stdin__.fileno() if sys.__stdin__ else 0)


def _give_back(attributes: list[Any] | None) -> None:
    if attributes is None:
        return
    import termios

    with contextlib.suppress(termios.error, OSError, ValueError):
        fd = sys.__stdin__.fileno() if sys.__stdin__ else 0
        termios.tcflush(fd, termios.TCIFLUSH)
        termios.tcsetattr(fd, termios.TCSANOW, attributes)
