"""What a terminal sends, well-formed or not: keys arrive, the rest is dropped, nothing raises."""

from __future__ import annotations

import asyncio
import os
import random
import signal
import threading
from collections.abc import Iterator

import pytest
import textual._parser
from textual import events
from textual.message import Message

from darkroom.screens.red.driver import INPUT_MESSAGES, RedDriver
from darkroom.screens.red.input_parser import PASTE_PAUSE, InputParser
from darkroom.screens.red.output_lock import OutputLock
from tests.kit.terminal_noise import MALFORMED, mutated


class FakeClock:
    """A clock set by hand."""

    def __init__(self) -> None:
        """Begin at 0 s."""
        self.now = 0.0

    def __call__(self) -> float:
        """Return the seconds."""
        return self.now


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> FakeClock:
    """Return the clock by which escape sequences time out."""
    clock = FakeClock()
    monkeypatch.setattr(textual._parser, "get_time", clock)
    return clock


def keys(messages: Iterator[Message] | list[Message]) -> list[str]:
    """Return the names of the keys among messages."""
    return [message.key for message in messages if isinstance(message, events.Key)]


@pytest.mark.parametrize("byte", range(0x80, 0x100))
def test_a_byte_that_is_no_utf_8_is_dropped_and_its_neighbours_are_kept(byte: int) -> None:
    """A strike before and one after a stray byte in the same read arrive, and nothing else does."""
    parser = InputParser()
    assert keys(list(parser.read(b"x" + bytes([byte]) + b" "))) == ["x", "space"]
    assert keys(list(parser.read(bytes([byte])))) == []
    assert keys(list(parser.read(b"x"))) == ["x"]


def test_text_cut_between_two_reads_is_whole() -> None:
    """A character whose bytes come in two reads is one key."""
    parser = InputParser()
    euro = "é".encode()
    assert keys(list(parser.read(euro[:1]))) == []
    assert keys(list(parser.read(euro[1:]))) == ["é"]


@pytest.mark.parametrize("sequence", MALFORMED)
def test_a_malformed_sequence_is_nothing_and_its_neighbours_are_kept(sequence: bytes) -> None:
    """Numbers out of range make no key; a strike before and one after in the same read arrive."""
    arrived = [m for m in InputParser().read(b"x" + sequence + b" ") if isinstance(m, INPUT_MESSAGES)]
    assert keys(arrived) == ["x", "space"]


def test_a_key_is_pressed_and_repeated_but_not_released() -> None:
    """With event types (kitty keyboard protocol) a press and a repeat are keys, a release is none."""
    parser = InputParser()
    assert keys(list(parser.read(b"\x1b[32;1:1u\x1b[32;1:2u\x1b[32;1:3u"))) == ["space", "space"]
    assert keys(list(parser.read(b"\x1b[1;1:1A\x1b[1;1:3A"))) == ["up"]


def test_thousands_of_mutated_sequences_raise_nothing_and_keys_follow(clock: FakeClock) -> None:
    """After any mutated sequence, once its time is over, the next strike is the next key."""
    rng = random.Random(7)
    parser = InputParser(clock)
    for _ in range(6000):
        data = mutated(rng)
        list(parser.read(data))
        for _ in range(2):
            clock.now += PASTE_PAUSE + 0.1
            list(parser.tick())
        assert keys(list(parser.read(b"x")))[-1:] == ["x"], data
        clock.now += 1


def test_random_bytes_raise_nothing_and_keys_follow(clock: FakeClock) -> None:
    """After reads of random bytes the next strike is the next key."""
    rng = random.Random(8)
    parser = InputParser(clock)
    for _ in range(1500):
        data = rng.randbytes(rng.randint(1, 60))
        list(parser.read(data))
        for _ in range(2):
            clock.now += PASTE_PAUSE + 0.1
            list(parser.tick())
        assert keys(list(parser.read(b"x")))[-1:] == ["x"], data


def test_a_failure_nobody_foresaw_costs_one_sequence(monkeypatch: pytest.MonkeyPatch) -> None:
    """When the toolkit's parser raises on a key, the keys after it in the same read arrive."""
    whole = InputParser._sequence_to_key_events

    def failing(self: InputParser, sequence: str, alt: bool = False) -> list[events.Key]:
        if sequence == "q":
            raise RuntimeError("on purpose")
        return list(whole(self, sequence, alt))

    monkeypatch.setattr(InputParser, "_sequence_to_key_events", failing)
    assert keys(list(InputParser().read(b"xq x"))) == ["x", "space", "x"]


def test_a_paste_without_its_end_swallows_no_strike_for_long(clock: FakeClock) -> None:
    """A paste whose end never comes is dropped after a second; a strike after it arrives."""
    parser = InputParser(clock)
    assert keys(list(parser.read(b"\x1b[200~ x c"))) == []
    clock.now += PASTE_PAUSE + 0.1
    list(parser.tick())
    assert keys(list(parser.read(b" "))) == ["space"]


def test_a_long_paste_is_one_paste(clock: FakeClock) -> None:
    """A paste that comes in many reads over several seconds strikes nothing."""
    parser = InputParser(clock)
    arrived = list(parser.read(b"\x1b[200~"))
    for _ in range(20):
        clock.now += 0.3
        arrived += list(parser.tick())
        arrived += list(parser.read(b"some words and more words of a long paste "))
    arrived += list(parser.read(b"\x1b[201~ "))
    assert keys(arrived) == ["space"]
    assert sum(isinstance(message, events.Paste) for message in arrived) == 1


class FakeApp:
    """Takes the driver's messages."""

    def __init__(self) -> None:
        """Begin with none."""
        self.lock = OutputLock(24)
        self.messages: list[Message] = []
        self.ended = False

    async def _post_message(self, message: Message) -> None:
        self.messages.append(message)

    def repaint(self) -> None:
        """Paint nothing."""

    def input_ended(self) -> None:
        """Note it."""
        self.ended = True


def _through_the_thread(data: list[bytes]) -> FakeApp:
    """Return what the driver's own input thread made of the reads and that it ended with its input alone."""
    app = FakeApp()
    handlers = {number: signal.getsignal(number) for number in (signal.SIGTSTP, signal.SIGCONT)}

    async def run() -> None:
        driver = RedDriver(app)  # type: ignore[arg-type]
        ours, theirs = os.pipe()
        driver.fileno, driver.input_tty = ours, True
        thread = threading.Thread(target=driver.run_input_thread)
        thread.start()
        for chunk in data:
            await asyncio.to_thread(os.write, theirs, chunk)
        os.close(theirs)
        await asyncio.to_thread(thread.join)
        os.close(ours)
        await asyncio.sleep(0)
        await asyncio.sleep(0)

    try:
        asyncio.run(run())
    finally:
        for number, handler in handlers.items():
            signal.signal(number, handler)
    return app


def test_the_input_thread_survives_every_byte_and_sequence() -> None:
    """Each stray byte and malformed sequence followed by a strike: the driver passes on every strike."""
    stray = [bytes([byte]) for byte in range(0x80, 0x100)]
    app = _through_the_thread([junk + b" " for junk in stray + MALFORMED])
    assert keys(app.messages).count("space") == len(stray) + len(MALFORMED)
    assert all(isinstance(message, INPUT_MESSAGES) for message in app.messages)


def test_the_application_is_told_when_the_terminal_is_gone() -> None:
    """When nothing can be read any more the application leaves, after every key that came before."""
    app = _through_the_thread([b" "])
    assert keys(app.messages) == ["space"]
    assert app.ended


def test_an_answer_of_the_terminal_is_no_key() -> None:
    """The report of its status, whole or in two reads, among keys, is told and is not passed on."""
    told: list[None] = []
    parser = InputParser(answered=lambda: told.append(None))
    found = [*parser.read(b"a\x1b[0nb\x1b[0"), *parser.read(b"nc")]
    assert [event.key for event in found if isinstance(event, events.Key)] == ["a", "b", "c"]
    assert len(told) == 2
