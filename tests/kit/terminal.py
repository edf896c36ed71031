"""A real terminal for tests: a pseudo-terminal with a program in it, and what it showed, byte for byte.

with Terminal(80, 24) as terminal:
    terminal.spawn([sys.executable, "-m", "darkroom"])
    terminal.wait_for("PLATE")
    terminal.send(" ")
    assert not audit(terminal.data, 24)
"""

from __future__ import annotations

import contextlib
import fcntl
import os
import pty
import re
import select
import signal
import struct
import subprocess
import termios
import threading
import time
from collections.abc import Callable, Mapping, Sequence
from types import TracebackType
from typing import Any, Self

import pyte

from tests.kit.audit import Leak, audit
from tests.kit.letters import reads
from tests.kit.status_answers import StatusAnswers
from tests.kit.svg import Cell

__all__ = ["KEYS", "PATIENCE", "Leak", "Terminal", "audit"]

KEYS: dict[str, bytes] = {
    "space": b" ", "backspace": b"\x7f", "delete": b"\x1b[3~", "enter": b"\r", "tab": b"\t",
    "escape": b"\x1b", "up": b"\x1b[A", "down": b"\x1b[B", "right": b"\x1b[C", "left": b"\x1b[D",
    "home": b"\x1b[H", "end": b"\x1b[F", "comma": b",", "f5": b"\x1b[15~", "f6": b"\x1b[17~",
    "f7": b"\x1b[18~", "f8": b"\x1b[19~", "f9": b"\x1b[20~", "f10": b"\x1b[21~", "f11": b"\x1b[23~",
    "f12": b"\x1b[24~", "f13": b"\x1b[57376u", "f2": b"\x1bOQ", "f3": b"\x1bOR", "f4": b"\x1bOS",
    "pageup": b"\x1b[5~", "pagedown": b"\x1b[6~",
}  # fmt: skip
"""What a terminal sends for a key, by the toolkit's name of it (xterm's control sequences)."""

PATIENCE = 60.0
"""Seconds after which what has not happened will not happen, on a busy and slow machine too."""

_CLEARED = (
    "NO_COLOR",
    "FORCE_COLOR",
    "COLORTERM",
    "TERM_PROGRAM",
    "WT_SESSION",
    "TEXTUAL",
    "LC_ALL",
    "COLUMNS",
    "LINES",  # a test runner's own size would count for more than the terminal's
)
"""Variables of the test runner that the program must not inherit."""


_READ_EVERY = 0.05
"""Seconds between two reads of a slow line."""
_LOOK_EVERY = 0.05
"""Seconds between two looks whether a late answer is due, or the terminal is to be closed."""
_UNFINISHED = re.compile(rb"\x1b(\[[0-?]*[ -/]*|\][^\x07\x1b]*(\x1b)?)?$")
UNKNOWN = re.compile(rb"\x1b\[[<>=?][0-9;]*(\$p|u|q)|\x1b\]P[0-9a-fA-F]{7}|\x1b\]R")
"""What pyte takes for text, or waits for the end of."""
OTHER_SCREEN = re.compile(rb"\x1b\[\?1049[hl]")
"""pyte has one screen: either change begins with it empty, as the program leaves it too."""


class PlainScreen(pyte.Screen):
    """pyte's screen, deaf to the sequences that it takes for others."""

    def set_margins(self, *args: int, **options: object) -> None:
        """Ignore the private forms that some programs send."""
        if not options:
            super().set_margins(*args)

    def report_device_status(self, mode: int, **options: object) -> None:
        """Answer nothing: the program under test must not need it."""


class Terminal:
    """A terminal of `columns` by `rows`; `data` holds every byte, `chunks` each read with its instant."""

    def __init__(
        self,
        columns: int = 80,
        rows: int = 24,
        term: str = "xterm-256color",
        colorterm: str | None = "truecolor",
        env: Mapping[str, str] | None = None,
        baud: int | None = None,
        answers: bool = False,
        delay: float = 0.0,
    ) -> None:
        """Prepare a terminal that names itself `term`; `env` is added to the program's environment.

        At `baud` it reads a tenth of that in bytes a second, as a serial line with a start and a stop bit;
        one that `answers` reports its status `delay` seconds after it was asked for it (ECMA-48, DSR), also
        when another program has the terminal by then.
        """
        self._bytes_a_read = 65536 if baud is None else max(1, round(baud / 10 * _READ_EVERY))
        self._reads_slowly = baud is not None
        self._answers = StatusAnswers(delay) if answers else None
        self.columns, self.rows = columns, rows
        self.env = {name: value for name, value in os.environ.items() if name not in _CLEARED}
        self.env |= {"TERM": term, "LANG": "C.UTF-8", "PYTHONUTF8": "1"}
        if colorterm:
            self.env["COLORTERM"] = colorterm
        self.env |= dict(env or {})
        self.chunks: list[tuple[float, bytes]] = []
        self._display = PlainScreen(columns, rows)
        self._stream = pyte.ByteStream(self._display)
        self._stream.use_utf8 = True
        self._fed = 0
        self._held = b""
        self._lock = threading.Condition()
        self._reading = threading.Event()
        self._reading.set()
        self.process: subprocess.Popen[bytes] | None = None
        self.started = 0.0
        self.sent = 0.0
        self._master = -1
        self._reader: threading.Thread | None = None

    def __enter__(self) -> Self:
        """Return the terminal."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """End the program if it still runs and close the terminal."""
        self.close()

    # --- the program ---------------------------------------------------------------------

    def spawn(self, argv: Sequence[str], cwd: str | None = None) -> None:
        """Start a program on this terminal, as the leader of its session."""
        master, slave = pty.openpty()
        self._master = master
        self._size(self.columns, self.rows)
        self.started = time.monotonic()
        self.process = subprocess.Popen(
            list(argv),
            stdin=slave,
            stdout=slave,
            stderr=slave,
            env=self.env,
            cwd=cwd,
            start_new_session=True,
            preexec_fn=_controlling,  # noqa: PLW1509  # one system call, no lock: safe beside our readers
        )
        os.close(slave)
        self._reader = threading.Thread(target=self._read, args=(master,), daemon=True)
        self._reader.start()

    def _read(self, master: int) -> None:
        due = time.monotonic()
        while True:
            self._reading.wait()
            if self._reads_slowly:
                due = max(due + _READ_EVERY, time.monotonic() - _READ_EVERY)
                time.sleep(max(0.0, due - time.monotonic()))
            while self._master == master and not select.select([master], [], [], _LOOK_EVERY)[0]:
                self._answer(master)  # a read that waits would keep a terminal open that is hung up
            try:
                data = os.read(master, self._bytes_a_read) if self._master == master else b""
            except OSError:
                data = b""
            if self._answers is not None:
                self._answers.read(data)
                self._answer(master)
            with self._lock:
                if not data:
                    self._lock.notify_all()
                    return
                self.chunks.append((time.monotonic(), data))
                self._lock.notify_all()

    def _answer(self, master: int) -> None:
        """Send the answers that are due."""
        if self._answers is not None and (answers := self._answers.due()):
            with contextlib.suppress(OSError):
                os.write(master, answers)

    def send(self, keys: str | bytes) -> float:
        """Send a key by name, or text, or bytes; return the instant."""
        data = keys if isinstance(keys, bytes) else KEYS.get(keys, keys.encode())
        self.sent = time.monotonic()
        os.write(self._master, data)
        return self.sent

    def attributes(self) -> list[Any]:
        """Return the line discipline, as termios tells it."""
        return termios.tcgetattr(self._master)

    def change_local_modes(self, added: int) -> None:
        """Add local modes of termios to those of the line discipline."""
        attributes = self.attributes()
        attributes[3] |= added
        termios.tcsetattr(self._master, termios.TCSANOW, attributes)

    def stop_reading(self) -> None:
        """Be a terminal that has stalled: nothing is read until `go_on_reading`."""
        self._reading.clear()

    def go_on_reading(self) -> None:
        """Read again."""
        self._reading.set()

    def resize(self, columns: int, rows: int) -> None:
        """Change the size; the program gets its signal."""
        self.screen()
        self.columns, self.rows = columns, rows
        self._display.resize(rows, columns)
        self._size(columns, rows)

    def _size(self, columns: int, rows: int) -> None:
        fcntl.ioctl(self._master, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))

    def kill(self, number: int = signal.SIGKILL) -> None:
        """Send a signal to the program alone."""
        assert self.process is not None
        self.process.send_signal(number)

    def front(self) -> int:
        """Return the group of processes that the terminal belongs to."""
        return os.tcgetpgrp(self._master)

    def hang_up(self) -> None:
        """Close the terminal under the program, as when its window is closed."""
        master, self._master = self._master, -1
        self._reading.set()
        assert self._reader is not None
        self._reader.join()
        os.close(master)

    def wait(self, timeout: float = PATIENCE) -> int:
        """Wait for the program's end and for its last byte; return its exit status."""
        assert self.process is not None
        status = self.process.wait(timeout)
        self.read_rest()
        return status

    def read_rest(self) -> None:
        """Wait, after the program's end, until all that it wrote is read.

        The reader ends with the last byte, unless another program still holds the terminal open.
        """
        assert self._reader is not None
        self._reader.join(1.0)
        while self._reader.is_alive() and select.select([self._master], [], [], 0.1)[0]:
            time.sleep(0.01)

    def close(self) -> None:
        """End the program and close the terminal."""
        self._reading.set()
        if self.process is not None and self.process.poll() is None:
            with contextlib.suppress(OSError):  # a job in front has a group of its own
                if (front := self.front()) > 0:  # 0 says that none is in front; a kill of 0 would be our own
                    os.killpg(front, signal.SIGKILL)
            with contextlib.suppress(ProcessLookupError):
                os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait(5)
        if self._reader is not None:
            self._reader.join(2.0)  # or it would read what is the next terminal's, whose number is the same
        if self._master >= 0:
            master, self._master = self._master, -1
            with contextlib.suppress(OSError):
                os.close(master)

    # --- what it showed ------------------------------------------------------------------

    @property
    def data(self) -> bytes:
        """Return every byte so far."""
        with self._lock:
            return b"".join(chunk for _, chunk in self.chunks)

    def screen(self) -> str:
        """Return the screen as text, a line for each row."""
        self._feed()
        return "\n".join(self._display.display)

    def whole_screen(self) -> str:
        """Return the screen when nothing has been written for a tenth of a second: no frame half drawn."""
        self.settle(0.1, 2.0)
        return self.screen()

    def background(self, x: int, y: int) -> str:
        """Return what a cell of the screen last looked at is drawn on, as RRGGBB or `default`."""
        char = self._display.buffer[y][x]
        return _rgb(char.fg if char.reverse else char.bg)

    def cells(self) -> list[list[Cell]]:
        """Return the screen as cells with their colours as RRGGBB; `default` stays `default`."""
        self._feed()
        found = []
        for y in range(self.rows):
            line = self._display.buffer[y]
            row = []
            for x in range(self.columns):
                char = line[x]
                fore, back = _rgb(char.fg), _rgb(char.bg)
                if char.reverse:
                    fore, back = back, fore
                row.append(Cell(char.data, fore, back))
            found.append(row)
        return found

    def _feed(self) -> None:
        with self._lock:
            fresh = self.chunks[self._fed :]
            self._fed = len(self.chunks)
        held = self._held + b"".join(chunk for _, chunk in fresh)
        cut = _UNFINISHED.search(held)
        end = len(held) if cut is None else cut.start()
        self._held = held[end:]
        self._stream.feed(UNKNOWN.sub(b"", OTHER_SCREEN.sub(b"\x1b[2J\x1b[H", held[:end])))

    def wait_for(self, what: str | Callable[[str], bool], timeout: float = PATIENCE) -> float:
        """Wait until the screen has this text (or fulfils this); return the instant it was read.

        The text may stand there in plain or in the small letters of the bench.
        Raises TimeoutError with the screen in its text.
        """
        end = time.monotonic() + timeout
        seen = -1
        while True:
            with self._lock:
                while len(self.chunks) == seen and time.monotonic() < end and self._alive():
                    self._lock.wait(0.05)
                seen = len(self.chunks)
                last = self.chunks[-1][0] if self.chunks else 0.0
            shown = self.screen()
            if reads(what, shown) if isinstance(what, str) else what(shown):
                return last
            if time.monotonic() >= end or (not self._alive() and len(self.chunks) == seen):
                raise TimeoutError(f"never shown: {what!r}; the screen was:\n{shown}")

    def wait_until(self, condition: Callable[[], bool], timeout: float = PATIENCE) -> None:
        """Wait until a condition holds, asked anew after every chunk of output and each 50 ms.

        Raises TimeoutError with the screen in its text.
        """
        end = time.monotonic() + timeout
        while not condition():
            if time.monotonic() >= end:
                raise TimeoutError(f"it never came true; the screen was:\n{self.screen()}")
            with self._lock:
                self._lock.wait(0.05)

    def _alive(self) -> bool:
        return self.process is not None and self.process.poll() is None

    def settle(self, quiet: float = 0.3, timeout: float = 10.0) -> None:
        """Wait until for `quiet` seconds no byte has come and no key was sent."""
        end = time.monotonic() + timeout
        while True:
            with self._lock:
                last = self.chunks[-1][0] if self.chunks else self.started
            now = time.monotonic()
            still = now - max(last, self.sent)
            if still >= quiet or now >= end:
                return
            time.sleep(min(0.05, quiet - still + 0.001))


def _controlling() -> None:
    """Make the terminal the program's own, so that it gets the signals of a hang-up."""
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)


_NAMED = {
    "black": "000000", "red": "cd0000", "green": "00cd00", "brown": "cdcd00", "blue": "0000ee",
    "magenta": "cd00cd", "cyan": "00cdcd", "white": "e5e5e5",
}  # fmt: skip


def _rgb(colour: str) -> str:
    if re.fullmatch("[0-9a-f]{6}", colour) or colour == "default":
        return colour
    return _NAMED.get(colour, "ff00ff")
