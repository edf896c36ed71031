"""Between the toolkit and the terminal: input that ends nothing, output that stops nothing, and only red.

Every key reaches the application, whatever comes before it; frames are dropped when the terminal does not
read, and the output lock sees each piece at the moment at which it is sent, in order. While the process is
stopped (SIGTSTP) the terminal has its own colours and modes; when it goes on (SIGCONT), everything is set
and painted again.
"""

from __future__ import annotations

import contextlib
import os
import signal
import time
from collections.abc import Callable, Iterable, Iterator
from typing import Any, cast

from textual import events, messages
from textual.app import App
from textual.drivers.linux_driver import LinuxDriver
from textual.geometry import Size
from textual.message import Message

from darkroom.screens.red import terminal
from darkroom.screens.red.driver_owner import Owner
from darkroom.screens.red.end_signals import LEAVE_WITHIN
from darkroom.screens.red.foreground import (
    in_background,
    is_orphaned,
    stop_as_a_job,
    stop_before_reading,
)
from darkroom.screens.red.frame_writer import FrameWriter
from darkroom.screens.red.input_parser import InputParser
from darkroom.screens.red.input_wait import Bell, InputWait
from darkroom.screens.red.line_pace import QUESTION, LinePace
from darkroom.screens.red.terminal_size import size_from_the_kernel

READ = 4096
"""Bytes taken from the terminal at once."""
BELL = "\a"
LEAVE_PATIENCE = 10.0
"""Seconds that a terminal which does not read gets to take the sequences that give it back."""
STOP_PATIENCE = 2.0
"""Seconds that it gets before the process stops: whoever stops a process waits for it."""
INPUT_MESSAGES = (
    events.Key,
    events.Paste,
    events.AppFocus,
    events.AppBlur,
    messages.TerminalSupportsSynchronizedOutput,
)
"""What a terminal may say. No mouse and no cursor position is asked for, and its size is the kernel's to
tell: a report of any of these is noise, and one of a size of 99999 by 99999 would take all memory."""


class RedDriver(LinuxDriver):
    """The toolkit's driver with our parser before the application and our writer before the terminal."""

    def __init__(
        self,
        app: App[Any],
        *,
        debug: bool = False,
        mouse: bool = True,
        size: tuple[int, int] | None = None,
    ) -> None:
        """Take `app`, which is an `Owner`; the rest is the toolkit's."""
        super().__init__(app, debug=debug, mouse=mouse, size=size)
        self._owner = cast(Owner, app)
        self.exit_event: Bell = Bell()
        self._writer: FrameWriter | None = None
        self.pace = LinePace(lambda: self._in_loop(self._owner.line_freed))
        self._parser = InputParser(answered=self.pace.answered)
        self._frame: list[str] | None = None
        self._stopping = self._continued = self._going_on = self._away = False
        self._loop.set_debug(False)  # it would print how long a callback took, in the terminal's own colours
        if size is None:
            self._size = self._get_terminal_size()

    def _get_terminal_size(self) -> tuple[int, int]:
        """Return the columns and rows that the kernel knows; the environment may tell another window's."""
        return size_from_the_kernel(2 if self._file is None else self._file.fileno())

    # --- output --------------------------------------------------------------------------

    def start_application_mode(self) -> None:
        """Take the terminal; everything is written by a writer of our own from here on."""
        if self._writer is None:
            fd = 2 if self._file is None else self._file.fileno()
            self._writer = FrameWriter(fd, self._encode, self._caught_up)
        super().start_application_mode()  # type: ignore[no-untyped-call]
        signal.signal(signal.SIGWINCH, lambda *_: self._in_loop(self._take_size))

    def _take_size(self) -> None:
        """Lay out for the size as it is now, and paint every cell even when it is the same again.

        A terminal that was made smaller and larger has lost cells, and the two signals may come as one.
        """
        if self._writer is not None and not self._away:
            size = Size(*self._get_terminal_size())
            super().process_message(events.Resize(size, size))
            self._app.call_later(self._owner.repaint)

    def write(self, data: str) -> None:
        """Send a control sequence, or, inside `frame()`, a part of that frame; never waits."""
        if self._frame is not None:
            self._frame.append(data)
        elif self._writer is not None and data:
            if data == BELL:  # one that rings late calls for nothing: it goes the way of the frames
                self._writer.frame(data)
            else:
                self._writer.control(data)

    @contextlib.contextmanager
    def frame(self) -> Iterator[None]:
        """Everything written in this block paints cells: it is sent as a whole or dropped as a whole."""
        self._frame = []
        try:
            yield
        finally:
            text, self._frame = "".join(self._frame), None
            if (
                text
                and self._writer is not None
                and self._writer.frame(text)
                and self.pace.painted(len(text))
            ):
                self._writer.control(QUESTION)

    def stop_application_mode(self) -> None:
        """Give the terminal back, after its last answer: later the shell would get it."""
        red = terminal.current()
        signalled = red is not None and red.signals.number is not None
        patience = LEAVE_WITHIN / 2 if signalled else LEAVE_PATIENCE
        end = time.monotonic() + min(patience, self.pace.answer_within())
        while self.pace.owes and time.monotonic() < end:
            time.sleep(0.01)
        self.pace.forget()
        super().stop_application_mode()

    def close(self) -> None:
        """Wait until the terminal has been given back, or has not read for too long."""
        super().close()
        # a page of ours may still stand in red: until the terminal is given back nothing stops the program
        stops = signal.SIG_DFL if terminal.current() is None else signal.SIG_IGN
        for number, then in ((signal.SIGTSTP, stops), (signal.SIGCONT, signal.SIG_DFL)):
            with contextlib.suppress(ValueError):  # not the main thread
                signal.signal(number, then)
        if self._writer is not None:
            self._writer.close(LEAVE_PATIENCE)
            self._writer = None
        self.exit_event.close()

    def _encode(self, text: str) -> bytes:
        """Return the bytes of a piece that is sent now: the lock knows only what was really sent before."""
        encoding = (self._file and self._file.encoding) or "utf-8"
        return self._owner.lock.pure(text).encode(encoding, "replace")

    def _caught_up(self) -> None:
        """Ask for a whole frame; called by the writer's thread."""
        self._in_loop(self._paint_everything)

    def _paint_everything(self) -> None:
        if self._writer is not None:
            self._writer.accept_frames()
            self._owner.repaint()

    # --- stopped and going on ------------------------------------------------------------

    def _sigtstp_application(self, *_: object) -> None:
        """Stop between two callbacks of the loop; a second signal until it goes on changes nothing.

        Of signals that wait for a busy main thread Python handles the lowest number first, so a SIGCONT that
        followed this one may have been handled before it. Until that is carried out no stop begins, since
        nobody would send a second SIGCONT to end it.
        """
        if not self._stopping and not self._going_on:
            self._stopping, self._continued = True, False
            self._in_loop(self._stop)

    def _sigcont_application(self, *_: object) -> None:
        """Go on, whatever stopped the process: the terminal was another's in the meantime.

        A stop that has not come to pass yet is called off: nobody would send a second signal to go on.
        """
        self._stopping = False
        self._continued = True
        if not self._going_on:
            self._going_on = True
            self._in_loop(self._go_on)

    def _in_loop(self, call: Callable[[], None]) -> None:
        with contextlib.suppress(RuntimeError):  # the application has ended
            self._loop.call_soon_threadsafe(call)

    def _stop(self) -> None:
        """Give the terminal back and stop the process; `_go_on` is called when it goes on.

        Nothing happens where nobody would let it go on, and before the terminal is taken.
        """
        if not self._stopping:
            return
        if self._writer is None or is_orphaned():
            self._stopping = False
            return
        if not self._away:
            self._away = True
            self.stop_application_mode()
            self._parser = InputParser(answered=self.pace.answered)  # what has begun goes on elsewhere
            super().close()
            self._writer.drain(STOP_PATIENCE)
            if (red := terminal.current()) is not None:
                red.write(terminal.closing(red.can))
        stop_as_a_job(lambda: self._stopping)
        self._in_loop(self._went_on)

    def _went_on(self) -> None:
        """Take the terminal again when no continuation was told: the system did not stop the process."""
        if not self._continued:
            self._sigcont_application()

    def _go_on(self) -> None:
        """Take the terminal again, or stop again when it still is another's (a job in the background)."""
        self._going_on = False
        if self._writer is None:
            return
        if in_background(self.fileno):
            red = terminal.current()
            leaving = red is not None and red.signals.number is not None
            if leaving or is_orphaned():
                self.attrs_before = None
                if red is not None:
                    red.let_go()
                if not leaving:
                    self._owner.input_ended()
                return
            self._stopping, self._continued = True, False
            self._stop()
            return
        attributes = self.attrs_before
        if not self._away:  # nothing was given back: SIGSTOP, or a stop that was called off
            self._end_reading()
            super().close()
            self.pace.forget()
            self.write("\x1b[<u")
            self._writer.drain(STOP_PATIENCE)
        if (red := terminal.current()) is not None:
            red.write(terminal.opening(red.can))
        self.start_application_mode()
        if not self._away:
            self.attrs_before = attributes
        self._away = False
        self._owner.line_freed()  # what it was waited for is another's
        self._owner.set_colours()

    # --- input ---------------------------------------------------------------------------

    def _query_in_band_window_resize(self) -> None:
        """Ask for no size reports among the keys: the signal tells of a new size."""

    def process_message(self, message: Message) -> None:
        """Pass on what a terminal may say."""
        if isinstance(message, INPUT_MESSAGES):
            super().process_message(message)

    def run_input_thread(self) -> None:
        """Read keys until the application takes no more."""
        with InputWait(self.fileno, self.exit_event) as wait:
            while not self.exit_event.is_set():
                if wait.is_readable(self._parser.awaits_time) and not self._read_once():
                    if self.input_tty:
                        self._in_loop(self._owner.input_ended)
                    return
                self._pass_on(self._parser.tick())

    def _end_reading(self) -> None:
        """End the thread that reads keys; the next one goes on with what it has not read yet."""
        self.exit_event.set()
        if self._key_thread is not None:
            self._key_thread.join()
        self.exit_event.clear()

    def _read_once(self) -> bool:
        """Read once and pass on what it means; return False when there is nothing to be read ever again."""
        if stop_before_reading(self.fileno, self.exit_event):
            return True
        try:
            data = os.read(self.fileno, READ)
        except BlockingIOError:
            return True
        except OSError:  # EIO: the terminal is gone
            return False
        self._pass_on(self._parser.read(data))
        return bool(data)

    def _pass_on(self, arrived: Iterable[Message]) -> None:
        with contextlib.suppress(RuntimeError):  # the loop is closed: the application has ended
            for message in arrived:
                self.process_message(message)
