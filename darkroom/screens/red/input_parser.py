"""From the bytes that a terminal sends to the toolkit's key events; no input, however malformed, raises.

The toolkit's own parser raises on sequences with numbers that it does not expect, and its input thread
ends the application then. Here what cannot be read is dropped without a word, and what comes before and
after it in the same read is kept: the next byte may be a strike.
"""

from __future__ import annotations

import codecs
import re
import time
from collections.abc import Callable, Iterable

from textual import events
from textual._xterm_parser import BRACKETED_PASTE_END, BRACKETED_PASTE_START, XTermParser
from textual.keys import Keys
from textual.message import Message

from darkroom.screens.red.line_pace import ANSWER

PASTE_PAUSE = 1.0
"""Seconds after the last long read in which a paste still goes on; one whose end never comes is dropped."""
LONG_READ = 32
"""Characters: a read longer than this was not typed by a hand."""

_KEY_WITH_EVENT_TYPE = re.compile(r"(\x1b\[[\d:]*;\d*):(\d+)((?:;[\d:]*)?[u~A-Z])")
"""A key of the kitty keyboard protocol that says whether it is pressed (1), repeated (2) or released (3)."""
_RELEASED = "3"


class InputParser(XTermParser):
    """The toolkit's parser, which drops what it cannot parse and goes on with the next character."""

    def __init__(
        self, clock: Callable[[], float] = time.monotonic, answered: Callable[[], None] = lambda: None
    ) -> None:
        """Begin outside any sequence.

        `clock` gives seconds, for the end of a paste that was torn off; `answered` is called for each answer
        to the question of `line_pace`, which is no key.
        """
        self._answered = answered
        self._clock = clock
        self._decoder = codecs.getincrementaldecoder("utf-8")(errors="ignore")
        self._paste_since: float | None = None
        self._tail = ""
        super().__init__()

    def read(self, data: bytes) -> Iterable[Message]:
        """Take the bytes of one read; yield what they mean.

        Bytes that are no UTF-8 are left out and not replaced: a replaced one would be a key that does
        nothing, and such a key makes the handful void in which it comes.
        """
        text = self._decoder.decode(data)
        if self._paste_since is not None and len(text) > LONG_READ:
            self._paste_since = self._clock()
        return self.feed(text) if text else ()

    def feed(self, data: str) -> Iterable[Message]:
        """Take decoded text; yield what it means. Empty text is the end of the input."""
        if not data:
            yield from super().feed(data)
            return
        for character in data:
            try:
                yield from super().feed(character)
            except Exception:
                self._begin_again()
            self._follow_paste(character)

    @property
    def awaits_time(self) -> bool:
        """Whether `tick` may have something to decide later: a sequence or a paste has begun."""
        return self._timeout_time is not None or self._paste_since is not None

    def tick(self) -> Iterable[Message]:
        """Yield what the time that has passed decides: a lone escape, a sequence without its end."""
        try:
            yield from super().tick()
        except Exception:
            self._begin_again()
        if self._paste_since is not None and self._clock() - self._paste_since > PASTE_PAUSE:
            self._begin_again()

    def _begin_again(self) -> None:
        """Forget the sequence or the paste that is being read."""
        self._gen.close()
        self._tokens.clear()
        self._gen = self.parse(self._tokens.append)
        self._awaiting = next(self._gen)
        self._timeout_time = None
        self._paste_since = None

    def _follow_paste(self, character: str) -> None:
        """Know from the last characters whether a paste goes on."""
        self._tail = (self._tail + character)[-len(BRACKETED_PASTE_START) :]
        if self._tail == BRACKETED_PASTE_START:
            self._paste_since = self._clock()
        elif self._tail == BRACKETED_PASTE_END:
            self._paste_since = None

    def _sequence_to_key_events(self, sequence: str, alt: bool = False) -> Iterable[events.Key]:
        """Return the key events of a sequence; one that names no key is the key to be ignored."""
        ignored = [events.Key(Keys.Ignore, sequence)]
        if sequence == ANSWER:
            self._answered()
            return ignored
        with_type = _KEY_WITH_EVENT_TYPE.fullmatch(sequence)
        if with_type is not None:
            if with_type[2] == _RELEASED:
                return ignored
            sequence = with_type[1] + with_type[3]
        try:
            keys = list(super()._sequence_to_key_events(sequence, alt))
        except (ValueError, OverflowError):
            return ignored
        if any("\ud800" <= character <= "\udfff" for key in keys for character in key.character or ""):
            return ignored
        return keys
