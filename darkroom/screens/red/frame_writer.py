"""Writes to a terminal that may stop reading: nobody waits for it, and frames are dropped, never controls.

A thread writes one whole piece after the other, so that no frame is cut by the next. What is written is
either a *control* (modes, colours: each is sent, in order) or a *frame* (it paints cells: worthless when a
later one is to be seen). When more than a few frames wait, all that wait are dropped, and so are those that
follow, until the terminal has taken everything else; then the owner is asked to paint the whole screen.
"""

from __future__ import annotations

import os
import threading
import time
from collections import deque
from collections.abc import Callable

MOST_FRAMES = 8
"""Frames that may wait: less than a second of them at the rate at which the bench is drawn."""
MOST_CHARACTERS = 500_000
"""Characters of frames that may wait, for very large terminals; a single frame may have more."""


class FrameWriter:
    """Writes pieces of text to the file descriptor `fd` in order, in a thread of its own.

    `encode` turns a piece into the bytes to be sent; it is called in the writer's thread, once for each piece
    that is sent, in order. `caught_up` is called in that thread when frames were dropped and
    everything else has been sent; the owner then calls `accept_frames` and paints everything.
    """

    def __init__(self, fd: int, encode: Callable[[str], bytes], caught_up: Callable[[], None]) -> None:
        """Begin with nothing to write."""
        self._fd, self._encode, self._caught_up = fd, encode, caught_up
        self._waiting: deque[tuple[bool, str]] = deque()
        self._frames = self._characters = 0
        self._behind = self._repaint_requested = False
        self._closed = self._gone = self._writing = False
        self._change = threading.Condition()
        self._thread = threading.Thread(target=self._run, daemon=True, name="terminal-output")
        self._thread.start()

    def control(self, text: str) -> None:
        """Send a control sequence after all that waits."""
        with self._change:
            if not (self._closed or self._gone):
                self._waiting.append((False, text))
                self._change.notify_all()

    def frame(self, text: str) -> bool:
        """Send a frame after all that waits, or drop it; return whether it was taken."""
        with self._change:
            if self._closed or self._gone or self._behind:
                return False
            size = self._characters + len(text)
            if self._frames and (self._frames >= MOST_FRAMES or size > MOST_CHARACTERS):
                self._waiting = deque(piece for piece in self._waiting if not piece[0])
                self._frames = self._characters = 0
                self._behind = True
            else:
                self._waiting.append((True, text))
                self._frames, self._characters = self._frames + 1, size
            self._change.notify_all()
            return not self._behind

    def accept_frames(self) -> None:
        """Take frames again: the next one paints everything."""
        with self._change:
            self._behind = self._repaint_requested = False

    def drain(self, patience: float) -> bool:
        """Drop the frames that wait; wait until the rest is sent, at most `patience` seconds; is it?"""
        with self._change:
            self._waiting = deque(piece for piece in self._waiting if not piece[0])
            self._frames = self._characters = 0
            return self._change.wait_for(self._is_idle, patience)

    def _is_idle(self) -> bool:
        return self._gone or not (self._waiting or self._writing)

    def close(self, patience: float) -> bool:
        """Take nothing more; wait until all is sent, at most `patience` seconds; return whether it is."""
        end = time.monotonic() + patience
        with self._change:
            self._closed = True
            self._change.notify_all()
        self._thread.join(max(0.0, end - time.monotonic()))
        return not self._thread.is_alive()

    def _run(self) -> None:
        while True:
            with self._change:
                self._writing = False
                self._change.notify_all()
                while not self._waiting:
                    if self._closed:
                        return
                    if self._behind and not self._repaint_requested:
                        self._repaint_requested = True
                        break
                    self._change.wait()
                if self._waiting:
                    is_frame, text = self._waiting.popleft()
                    self._writing = True
                    if is_frame:
                        self._frames, self._characters = self._frames - 1, self._characters - len(text)
                else:
                    text = None
            if text is None:
                self._caught_up()
                continue
            try:
                self._send(self._encode(text))
            except OSError:  # the terminal is gone: its end is told by the input and by the hang-up signal
                with self._change:
                    self._gone = True
                    self._waiting.clear()
                    self._change.notify_all()
                return

    def _send(self, data: bytes) -> None:
        """Write all of it, however long the terminal takes."""
        view = memoryview(data)
        while view:
            try:
                view = view[os.write(self._fd, view) :]
            except BlockingIOError:  # somebody else has set the terminal so that it does not wait
                time.sleep(0.02)
