"""Keys that arrive while the program is busy mean at the bench what they mean while it is idle."""

from __future__ import annotations

import asyncio
import threading
import time
from pathlib import Path

import pytest
from textual import events

from darkroom.bench import clocks
from darkroom.bench import events as ev
from tests.kit.review_hand import Looker, bring_to, large, looking

BUSY = 0.5
"""Seconds for which nothing is taken; a second would be a stall."""


async def be_busy(hand: Looker, until: float, *keys: tuple[float, str]) -> None:
    """Be busy until an instant; then keys wait that have arrived, each at an instant of the bench."""
    loop, session = asyncio.get_running_loop(), hand.tool.session

    def read_the_terminal() -> None:
        for instant, name in keys:
            key = events.Key(name, " " if name == "space" else None)
            key.time = time.monotonic() - (session.now() - instant)
            key.set_sender(hand.tool)
            asyncio.run_coroutine_threadsafe(hand.tool._post_message(key), loop)

    time.sleep(max(0.0, until - session.now()))  # the loop takes nothing: neither a key nor a timer
    reader = threading.Thread(target=read_the_terminal)
    reader.start()
    reader.join()
    await hand.until(lambda: session.recogniser.next_due() is None)
    await hand.pilot.pause(0.2)


async def before_the_lens(hand: Looker, seconds: float) -> float:
    """Bring a plate so many seconds before its exposure begins by itself; return that instant."""
    await bring_to(hand, "expose", "lead_in")
    zero = clocks.automatic_zero(large(hand))
    assert zero is not None
    await hand.until(lambda: hand.tool.screen is hand.tool.bench_screen)
    hand.at_once(zero - hand.tool.session.now() - seconds)
    hand.tool.bench_screen.wake()
    hand.tool.soon = hand.tool.session.changed = lambda: None  # type: ignore[method-assign]  # keys alone wake it
    await hand.pilot.pause(0.1)  # until what has changed is drawn
    await hand.until(lambda: not hand.tool._soon)
    return zero


def begun(hand: Looker) -> list[float]:
    """Return the instants at which an exposure began."""
    lines = large(hand).lines
    return [line.up or 0.0 for line in lines if isinstance(line, ev.StageStarted) and line.stage == "expose"]


def test_a_press_before_a_zero_comes_before_it_in_a_busy_program(home: Path) -> None:
    """Its instant is that of its arrival, though the timer of the zero was due when it was taken."""

    async def press(hand: Looker) -> None:
        zero = await before_the_lens(hand, 0.6)
        await be_busy(hand, zero + 0.1, (zero - 0.1, "space"))
        assert begun(hand) == [pytest.approx(zero - 0.1, abs=0.01)]
        assert hand.tool.session.answer is not None
        assert "it went on" not in hand.tool.session.answer.text

    looking(home, press, None)


@pytest.mark.parametrize("apart", [0.01, 0.05])
def test_two_keys_that_arrived_at_once_are_void_in_a_busy_program(home: Path, apart: float) -> None:
    """Both are taken together, late: nothing is done, and that is said."""

    async def press(hand: Looker) -> None:
        await before_the_lens(hand, 3.0)
        now = hand.tool.session.now()
        await be_busy(hand, now + BUSY, (now + 0.1, "space"), (now + 0.1 + apart, "escape"))
        assert begun(hand) == []
        assert hand.tool.session.answer is not None
        assert "several keys at once" in hand.tool.session.answer.text

    looking(home, press, None)


@pytest.mark.parametrize("apart", [0.01, 0.05])
def test_a_handful_that_a_busy_program_has_half_taken_is_void(home: Path, apart: float) -> None:
    """The first key was taken in time; the timer that decides it is due while the second key waits."""

    async def press(hand: Looker) -> None:
        await before_the_lens(hand, 3.0)
        arrived = hand.tool.session.now()
        hand.tool.bench_key("space", arrived)
        await asyncio.sleep(0)  # its timer begins
        await be_busy(hand, arrived + BUSY, (arrived + apart, "escape"))
        assert begun(hand) == []
        assert large(hand).phase == "lead_in"

    looking(home, press, None)
