"""A plate carried through by ear: from the sound alone, every call and its plate, in order, none missing."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

pytest.importorskip("numpy", reason="numpy compares the recorded sound")

from darkroom import resources
from darkroom.bench import intents as want
from darkroom.devices.sound.sound_files import recorded
from darkroom.process.model import Process
from darkroom.session import vocabulary
from darkroom.session.speech import words_of
from tests.kit.blind import calls_due, calls_heard
from tests.kit.cues_heard import sounds, sounds_in
from tests.kit.listened_bench import ListenedBench, shortened

HANDS = ("accepted", "end")
"""The calls that answer a hand or ask for it."""
KNOWN = sounds(recorded())
"""Every cue, and every recording of the spoken set."""


def cautions_of(process: Process) -> Counter[str]:
    """Return how often each recording says a caution of the process, whose first stage is left out."""
    cautions = {caution for stage in process.stages[1:] for caution in stage.cautions}
    sentences = (sentence for caution in cautions for sentence in vocabulary.sentences(caution))
    return Counter(" ".join(words_of(sentence)) for sentence in sentences)


@pytest.mark.slow
@pytest.mark.parametrize("path", resources.shipped_processes(), ids=lambda path: path.stem)
def test_every_call_of_a_plate_is_heard_with_its_number(path: Path) -> None:
    """From the first press to the last varnish all that the journal says was called is heard, in order."""
    process = shortened(resources.read_process(path))
    bench = ListenedBench(process)
    bench.first_number = len(path.stem)
    bench.put_on()
    bench.carry_through()
    (plate,) = bench.session.bench.plates
    while not bench.is_silent:
        bench.wait()
    bench.session.intend(want.FromRack(plate))
    bench.wait(2.0)
    bench.carry_through()
    bench.wait(5.0)
    cautions = cautions_of(process)
    heard = sounds_in(bench.card.samples, KNOWN)
    calls = [call.text() for call in calls_heard(heard, cautions)]
    assert calls_due(bench.journal.events[plate]) == calls
    called = {call.rpartition(" ")[2] for call in calls if call.startswith(("start:", "end:"))}
    assert {"lift", "uncap", "cap", "pour", "flood", "rack"} <= called
    said = [sound.names[0].removeprefix("voice/").replace("-", " ") for sound in heard if sound.whole]
    assert cautions == Counter(text for text in said if text in cautions)
    assert said.count("safelight only") >= 1 and said.count("room light is safe") == 1


@pytest.mark.slow
def test_the_calls_of_two_plates_are_told_apart() -> None:
    """With two plates in flight each call names its own, whole and in its order, none missing."""
    process = shortened(resources.load_process("tintype"))
    bench = ListenedBench(process)
    bench.put_on()
    bench.carry_through(until="wash")
    bench.put_on()
    bench.carry_through()
    bench.wait(5.0)
    heard = [call for call in calls_heard(sounds_in(bench.card.samples, KNOWN), cautions_of(process))]
    assert not [call.text() for call in heard if call.plate is None and call.sound in ("end", "accepted")]
    for number, lines in enumerate(bench.journal.events.values(), 1):
        own = [call.text() for call in heard if call.plate == number and call.sound in HANDS]
        due = [text for text in calls_due(lines) if f"plate {number}" in text and text.split(":")[0] in HANDS]
        assert len(due) > 10 and due == own
