"""The sample clock against simulated devices: what is heard when, through changes, drift and stalls."""

from __future__ import annotations

import itertools
from array import array

import pytest

from darkroom.devices.sound.messages import Call
from darkroom.devices.sound.sample_clock import QueueClock, Stream
from darkroom.devices.sound.scheduler import Scheduler
from darkroom.devices.sound.sound_files import Library
from tests.kit.sound_card import SoundCard


def stream_with(*dues: float) -> Stream:
    """Return a live stream with ticks due at these instants."""
    scheduler = Scheduler(Library(), lambda kind, what: None)
    scheduler.post_set(1, 0.0, [Call(due, "pip", 1) for due in dues])
    stream = Stream(scheduler)
    stream.live = True
    return stream


ATTACK = 0.002
"""A tick's flank takes this long to become loud, in seconds."""


def test_ticks_are_heard_at_their_instants() -> None:
    """On an even device each tick is heard within a millisecond of its instant."""
    dues = [50.5 + 0.37 * i for i in range(20)]
    device = SoundCard(stream_with(*dues))
    device.run(9)
    errors = [heard - due - ATTACK for heard, due in zip(device.onsets(), dues, strict=True)]
    assert max(map(abs, errors)) < 0.001


def test_a_changing_pattern_of_requests_moves_nothing() -> None:
    """A server that asks for blocks 5 to 28 ms ahead as it pleases plays every tick at its instant."""
    dues = [51.0 + 0.5 * i for i in range(30)]
    device = SoundCard(
        stream_with(*dues), pattern=lambda i: (0.025, 0.005, 0.028, 0.012)[i // 40 % 4], jitter=0.003
    )
    device.run(17)
    errors = [heard - due - ATTACK for heard, due in zip(device.onsets(), dues, strict=True)]
    assert max(map(abs, errors)) < 0.001


@pytest.mark.parametrize("drift", [0.0001, -0.0001])
def test_a_drifting_card_is_followed(drift: float) -> None:
    """A card whose clock is off by 0.0001 gains 60 ms in ten minutes; no tick is 10 ms off."""
    dues = [50.5 + 10.0 * i for i in range(60)]
    device = SoundCard(stream_with(*dues), drift=drift, pattern=lambda i: 0.025 + 0.003 * (i % 3))
    device.run(600)
    errors = [heard - due - ATTACK for heard, due in zip(device.onsets(), dues, strict=True)]
    assert max(map(abs, errors)) < 0.010
    assert abs(drift) * 600 > 0.05


def test_ticks_are_on_time_again_after_a_stall() -> None:
    """After the queue ran dry for 0.2 s the ticks that follow are heard at their instants."""
    dues = [55.0, 56.0, 57.0]
    stream = stream_with(*dues)
    device = SoundCard(stream)
    device.run(3.0)
    device.run(6.0, stall=0.2)
    errors = [heard - due - ATTACK for heard, due in zip(device.onsets(), dues, strict=True)]
    assert max(map(abs, errors)) < 0.001
    assert stream.clock.underruns == 1


def test_a_stumble_at_the_start_is_no_underrun() -> None:
    """An output that wakes slowly after it was opened is not called unsteady."""
    stream = stream_with(55.0)
    device = SoundCard(stream)
    device.run(0.2)
    device.run(6.0, stall=0.9)
    assert stream.clock.underruns == 0
    assert abs(device.onsets()[0] - 55.0 - ATTACK) < 0.001


def test_the_first_block_is_heard_when_it_is_asked_for() -> None:
    """The queue of a new device is empty: its first frame is heard at once, the next block after it."""
    clock = QueueClock()
    assert clock.next_heard(10.0) == 10.0
    clock.frames += 4410
    assert clock.next_heard(10.005) == pytest.approx(10.1)


def test_a_stream_knows_until_when_it_sounds() -> None:
    """The instant until which the last sound is heard lies within a block after the sound's end."""
    stream = stream_with(50.5)
    SoundCard(stream).run(2.0)
    assert 50.62 <= stream.sounds_until <= 50.66


def test_silence_costs_no_new_memory() -> None:
    """A stream at rest hands out the same silence again and again."""
    stream = stream_with()
    stream.block(1323, 50.0)
    first = stream.block(1323, 50.03)
    assert first == bytes(2646)
    assert stream.block(1323, 50.06) is first


def test_a_cut_sound_fades() -> None:
    """A sound that is cut off ends without a jump larger than it makes by itself."""
    stream = stream_with(50.5)
    device = SoundCard(stream)
    device.run(0.55)
    sounding = array("h", device.samples)
    stream.scheduler.post_set(2, 50.4, [])
    device.run(0.5)

    def jump(samples: array[int]) -> int:
        return max(abs(a - b) for a, b in itertools.pairwise(samples))

    assert any(sounding[-500:])
    assert jump(device.samples) <= 1.1 * jump(sounding)
    assert not any(device.samples[-5000:])


def test_a_stream_that_is_not_live_takes_nothing() -> None:
    """Before it is taken, and after it is closed, a stream leaves the scheduler alone."""
    stream = stream_with(50.5)
    stream.live = False
    SoundCard(stream).run(2.0)
    assert stream.scheduler.inbox
    assert stream.scheduler.playing is None
