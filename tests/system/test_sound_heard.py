"""What is really played: a real sound server with a null sink, recorded and recognised.

Here a cue is heard or not; how many milliseconds it is early or late is measured by tests/measure/sound.py.
"""

from __future__ import annotations

import random
import time
from pathlib import Path
from typing import Any

import pytest

np = pytest.importorskip("numpy", reason="numpy analyses the recorded sound")

from darkroom.devices.sound.client import Sound  # noqa: E402
from darkroom.devices.sound.cue_names import CUES, URGENCIES, cue_file  # noqa: E402
from darkroom.devices.sound.make_cues import CUES as PULSES  # noqa: E402
from darkroom.devices.sound.make_cues import length  # noqa: E402
from darkroom.devices.sound.sound_settings import SoundSettings  # noqa: E402
from tests.kit import timed_run  # noqa: E402
from tests.kit.nightly import size  # noqa: E402
from tests.kit.sound_recording import HEARD, RATE, noisy, onsets, recognise, segments, up  # noqa: E402

CUES_DUE = size("DARKROOM_CUES", 50, 200)
"""How many ticks are played while the screen redraws."""


@pytest.fixture
def sound(listening: Any, told: Any):
    """A client whose player is ready."""
    made = Sound(told)
    made.start()
    told.wait("driver", 8.0, lambda what: what["driver"] == "miniaudio")
    time.sleep(0.3)
    yield made
    made.close()


def cue(
    at: float, name: str, plate: int | None = 1, say: tuple[str, ...] = (), urgency: int = 0
) -> dict[str, Any]:
    """Return a cue as plain values."""
    return {"up": at, "name": name, "plate": plate, "say": say, "urgency": urgency}


def test_cues_on_time_while_the_screen_redraws(listening: Any, capture: Any, tmp_path: Path) -> None:
    """Ticks from a program that redraws its whole screen are heard once, or the player told why not."""
    timing = timed_run.run(listening, capture, tmp_path, count=CUES_DUE, spacing=0.19)
    print(timing)
    spoilt = [line for line in timing.reports if line.split()[0] in ("underrun", "late", "dropped")]
    assert timing.missing <= len(spoilt), timing.reports
    assert timing.extra <= len(spoilt), timing.reports
    assert timing.due - timing.missing >= 0.9 * CUES_DUE, timing.reports


def test_every_cue_is_recognised_from_what_was_played(sound: Sound, capture: Any) -> None:
    """Each cue, as it was played and with noise 10 dB below it, is recognised by rhythm and pitch."""
    plan = [(name, urgency) for name in CUES for urgency in (URGENCIES if name == "overrun" else (0,))]
    at, due = up() + 0.8, []
    for name, urgency in plan:
        due.append(at)
        at += length(PULSES[cue_file(name, urgency)]) + 0.35
    sound.schedule(
        [cue(when, name, None, (), urgency) for when, (name, urgency) in zip(due, plan, strict=True)], 30
    )
    x, first = capture.between(due[0] - 0.6, at)
    rng = np.random.default_rng(3)
    wrong = []
    for when, (name, urgency) in zip(due, plan, strict=True):
        stem = cue_file(name, urgency)
        begin = int((when - 0.3 - first) * RATE)
        part = x[begin : begin + int((length(PULSES[stem]) + 0.6) * RATE)]
        found = [recognise(segments(part)), recognise(segments(noisy(part, 10.0, rng)))]
        wrong += [] if found == [stem, stem] else [(stem, found)]
    assert wrong == []


def test_words_are_said_after_their_cue(sound: Sound, capture: Any) -> None:
    """The end of a stage is followed by its words: sound goes on for as long as they take."""
    at = up() + 0.5
    sound.schedule([cue(at, "end", 1, ("2", "ready to lift"))], 30)
    x, _ = capture.between(at + 0.8, at + 1.6)
    assert np.sqrt(np.mean(x**2)) > 1000
    assert len(onsets(x, 0.02)) > 3


def test_an_answer_is_heard_at_once(sound: Sound, capture: Any) -> None:
    """Each answer that is asked for is heard, and none that is not."""
    rng = random.Random(5)
    asked = []
    for _ in range(9):
        time.sleep(0.3 + rng.random() * 0.05)
        asked.append(up())
        sound.play(cue(asked[-1], "accepted"))
    x, first = capture.between(asked[0] - 0.1, asked[-1] + 0.4)
    heard = [first + sample / RATE for sample in onsets(x, 0.1)]
    assert heard == [pytest.approx(strike + HEARD / 2, abs=HEARD / 2) for strike in asked]


def test_a_call_that_is_taken_back_falls_silent(sound: Sound, capture: Any) -> None:
    """A call that sounds when its plate is struck ends with the answer, long before its own end."""
    at = up() + 0.5
    sound.schedule([cue(at, "past_wet"), cue(at + 1.0, "end", 1, ("1", "water"))], 30)
    time.sleep(max(0.0, at + 0.15 - up()))
    struck = up()
    sound.schedule([], 30)
    sound.play(cue(struck, "accepted"))
    x, first = capture.between(at - 0.1, at + 3.0)
    loud = np.flatnonzero(np.abs(x) > 300)
    assert first + loud[0] / RATE == pytest.approx(at, abs=HEARD)
    silent = first + loud[-1] / RATE
    assert silent < struck + HEARD + length(PULSES["accepted"]) < at + length(PULSES["past-wet"])


def test_a_cue_that_was_undone_is_never_heard(sound: Sound, capture: Any) -> None:
    """A new set 0.1 s before a cue takes it back; the next one is heard at its time."""
    at = up() + 0.6
    sound.schedule([cue(at, "end"), cue(at + 1.0, "pip")], 30)
    time.sleep(max(0.0, at - 0.1 - up()))
    sound.schedule([cue(at + 1.0, "pip")], 30)
    x, first = capture.between(at - 0.2, at + 1.5)
    found = [first + sample / RATE for sample in onsets(x, 0.1)]
    assert found == [pytest.approx(at + 1.0, abs=HEARD)]


def test_the_calls_of_two_plates_do_not_sound_together(sound: Sound, capture: Any, told: Any) -> None:
    """Ticks of one plate through the overrun call of another: every tick is heard, what yields is told."""
    at = up() + 0.5
    pips = [cue(at + second, "pip", 1) for second in range(3)]
    sound.schedule([*pips, cue(at + 0.75, "overrun", 2, (), 1), cue(at + 2.0, "pip", 3)], 30)
    x, first = capture.between(at - 0.2, at + 2.7)
    found = [first + sample / RATE for sample in onsets(x, 0.05)]
    for second in range(3):
        assert any(abs(when - at - second) < HEARD for when in found)
    assert [what["cue"]["name"] for _, kind, what in told.reports if kind == "dropped"] == ["overrun", "pip"]


def test_volume_and_silence_are_obeyed(listening: Any, capture: Any, told: Any) -> None:
    """At a tenth of the volume a cue is a tenth as loud; a silent cue is not heard."""
    sound = Sound(told, settings=SoundSettings(volume=0.1, silent=frozenset({"start"})))
    sound.start()
    told.wait("driver", 8.0)
    at = up() + 0.6
    sound.schedule([cue(at, "end"), cue(at + 1.0, "start")], 30)
    x, _ = capture.between(at - 0.1, at + 2.0)
    sound.close()
    assert np.max(np.abs(x)) == pytest.approx(0.05 * 32768, rel=0.1)
    assert np.max(np.abs(x[int(1.0 * RATE) :])) < 50


def test_the_players_own_sounds_win(listening: Any, capture: Any, told: Any, tmp_path: Path) -> None:
    """A file in the user's folder takes the place of ours, at any rate; one that is broken is told."""
    import wave

    with wave.open(str(tmp_path / "pip.wav"), "wb") as file:
        file.setnchannels(2)
        file.setsampwidth(2)
        file.setframerate(8000)
        t = np.arange(2400) / 8000
        one = (8000 * np.sin(2 * np.pi * 440 * t)).astype("<i2")
        file.writeframes(np.column_stack([one, one]).tobytes())
    (tmp_path / "end.wav").write_bytes(b"RIFF....WAVE")
    sound = Sound(told, settings=SoundSettings(folder=str(tmp_path)))
    sound.start()
    told.wait("driver", 8.0)
    at = up() + 0.6
    sound.schedule([cue(at, "pip"), cue(at + 1.0, "end")], 30)
    x, first = capture.between(at - 0.1, at + 2.0)
    sound.close()
    own = x[int((at + 0.05 - first) * RATE) : int((at + 0.25 - first) * RATE)]
    spectrum = np.abs(np.fft.rfft(own * np.hanning(len(own))))
    assert np.argmax(spectrum) * RATE / len(own) == pytest.approx(440, abs=10)
    assert np.max(np.abs(x[int((at + 1.1 - first) * RATE) :])) > 8000
    assert "end.wav: no format in it" in told.wait("problem", 8.0)[1]["text"]
