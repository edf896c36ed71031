"""What the player renders from its client's lines, sample by sample, on a simulated sound card."""

from __future__ import annotations

import wave
from pathlib import Path
from typing import Any

import pytest

np = pytest.importorskip("numpy", reason="numpy compares the samples")

from darkroom.devices.sound.cue_names import CUES, URGENCIES  # noqa: E402
from darkroom.devices.sound.make_cues import CUES as PULSES  # noqa: E402
from darkroom.devices.sound.make_cues import length  # noqa: E402
from darkroom.devices.sound.sound_settings import SoundSettings  # noqa: E402
from tests.kit.cues_heard import cue_stem, faults, scaled, sounds, sounds_in  # noqa: E402
from tests.kit.sound_card import RenderedPlayer  # noqa: E402

SHIPPED = sounds(["1", "2", "water", "lift"])


def cue(
    at: float, name: str, plate: int | None = 1, say: tuple[str, ...] = (), urgency: int = 0
) -> dict[str, Any]:
    """Return a cue as plain values."""
    return {"up": at, "name": name, "plate": plate, "say": say, "urgency": urgency}


def heard(player: RenderedPlayer) -> list[tuple[str, bool]]:
    """Return (what it may be, whether it is whole) of each sound that was played."""
    return [(" or ".join(sound.names), sound.whole) for sound in sounds_in(player.samples, SHIPPED)]


def test_every_cue_is_played_as_it_was_made() -> None:
    """Each cue of the set is played once, whole, in order, sample by sample as its file has it."""
    player = RenderedPlayer()
    plan = [(name, urgency) for name in CUES for urgency in (URGENCIES if name == "overrun" else (0,))]
    cues, at = [], player.now + 0.5
    for name, urgency in plan:
        cues.append(cue(at, name, None, (), urgency))
        at += length(PULSES[cue_stem(name, urgency)]) + 0.1
    player.schedule(*cues)
    player.run(at - player.now)
    assert heard(player) == [(cue_stem(name, urgency), True) for name, urgency in plan]
    assert player.reports == []


def test_words_are_said_after_their_cue() -> None:
    """The end of a stage is followed by its words, whole and in order."""
    player = RenderedPlayer()
    player.schedule(cue(player.now + 0.5, "end", 1, ("2", "lift")))
    player.run(4.0)
    assert heard(player) == [("end", True), ("voice/2", True), ("voice/lift", True)]


def test_each_answer_is_played_once() -> None:
    """Each answer that is asked for is played, and none that is not."""
    player = RenderedPlayer()
    for _ in range(9):
        player.run(0.31)
        player.play(cue(player.now, "accepted"))
    player.run(1.0)
    assert heard(player) == [("accepted", True)] * 9


def test_a_call_that_is_taken_back_falls_silent() -> None:
    """A call that sounds when its plate is struck ends with the answer; what was due later is not played."""
    player = RenderedPlayer()
    at = player.now + 0.5
    player.schedule(cue(at, "past_wet"), cue(at + 1.0, "end", 1, ("1", "water")))
    player.run(0.65)
    player.schedule()
    player.play(cue(player.now, "accepted"))
    player.run(3.0)
    assert heard(player) == [("past-wet", False), ("accepted", True)]


def test_a_cue_that_was_undone_is_never_heard() -> None:
    """A new set shortly before a cue takes it back; the next one is heard."""
    player = RenderedPlayer()
    at = player.now + 0.6
    player.schedule(cue(at, "end"), cue(at + 1.0, "pip"))
    player.run(0.5)
    player.schedule(cue(at + 1.0, "pip"))
    player.run(2.0)
    assert heard(player) == [("pip", True)]


def test_the_calls_of_two_plates_do_not_sound_together() -> None:
    """Ticks of one plate through the overrun call of another: every tick is whole, what yields is told."""
    player = RenderedPlayer()
    at = player.now + 0.5
    ticks = [cue(at + second, "pip", 1) for second in range(3)]
    player.schedule(*ticks, cue(at + 0.75, "overrun", 2, (), 1), cue(at + 2.0, "pip", 3))
    player.run(4.0)
    sounded = heard(player)
    assert [name for name, whole in sounded if whole] == ["pip"] * 3
    assert sounded[1] == ("overrun-1", False)
    assert [what["cue"]["name"] for kind, what in player.reports if kind == "dropped"] == ["overrun", "pip"]


@pytest.mark.parametrize(("stall", "sounded"), [(0.05, ["pip"] * 3), (0.2, ["pip"] * 2), (1.5, ["pip"])])
def test_an_output_that_was_kept_waiting_goes_on(stall: float, sounded: list[str]) -> None:
    """After a stall within a tick it is played to its end; what has no room or is late is told, in turn."""
    player = RenderedPlayer()
    at = player.now + 3.0
    player.schedule(*(cue(at + 0.19 * number, "pip") for number in range(3)))
    player.run(3.05)
    player.run(3.0, stall=stall)
    assert heard(player) == [(name, True) for name in sounded]
    assert [kind for kind, _ in player.reports].count("dropped") == 3 - len(sounded)


def test_volume_and_silence_are_obeyed() -> None:
    """At a tenth of the volume a cue is a tenth as loud; a silent cue is not played."""
    player = RenderedPlayer(SoundSettings(volume=0.1, silent=frozenset({"start"})))
    at = player.now + 0.5
    player.schedule(cue(at, "end"), cue(at + 1.0, "start"))
    player.run(3.0)
    played, expected = (np.trim_zeros(samples) for samples in (player.samples, scaled(SHIPPED["end"], 0.1)))
    assert np.array_equal(played, expected), "quieter, and nothing after it"


def own_tick(folder: Path) -> None:
    """Write a tick of 440 Hz in stereo at 8 kHz."""
    with wave.open(str(folder / "pip.wav"), "wb") as file:
        file.setnchannels(2)
        file.setsampwidth(2)
        file.setframerate(8000)
        side = (8000 * np.sin(2 * np.pi * 440 * np.arange(2400) / 8000)).astype("<i2")
        file.writeframes(np.column_stack([side, side]).tobytes())


def test_the_photographers_own_sounds_win(tmp_path: Path) -> None:
    """A file in the user's folder takes the place of ours, at any rate; one that is broken is told."""
    own_tick(tmp_path)
    (tmp_path / "end.wav").write_bytes(b"RIFF....WAVE")
    player = RenderedPlayer(SoundSettings(folder=str(tmp_path)))
    at = player.now + 0.5
    player.schedule(cue(at, "pip"))
    player.run(1.0)
    sounding = player.samples[np.flatnonzero(player.samples)[0] :][:8820]
    spectrum = np.abs(np.fft.rfft(sounding * np.hanning(len(sounding))))
    assert np.argmax(spectrum) * 44100 / len(sounding) == pytest.approx(440, abs=10)
    before = len(player.samples)
    player.schedule(cue(player.now + 0.5, "end"))
    player.run(2.0)
    assert [sound.names for sound in sounds_in(player.samples[before:], SHIPPED)] == [("end",)]
    problems = [what["text"] for kind, what in player.reports if kind == "problem"]
    assert len(problems) == 1 and "end.wav: no format in it" in problems[0]


# --- the program's ear can fail -------------------------------------------------------------------

DUE = [(101.0, "pip"), (102.0, "start"), (103.0, "end")]


def recording(*names: str) -> Any:
    """Return these sounds one after the other, as a null sink under load records them: with gaps inside."""
    gap = np.zeros(3000, dtype=np.int16)
    parts = [part for name in names for part in (gap, SHIPPED[name][:2000], gap, SHIPPED[name][2000:])]
    return np.concatenate([*parts, gap])


def test_no_sound_is_taken_for_another() -> None:
    """Each sound of the set by itself is taken for itself alone, wherever silence interrupts it."""
    for name in SHIPPED:
        assert [(sound.names, sound.whole) for sound in sounds_in(recording(name), SHIPPED)] == [
            ((name,), True)
        ]


def test_a_sound_that_was_cut_off_is_known_by_its_beginning() -> None:
    """What may still become one of several sounds is told as all of them, and not as whole."""
    (beginning,) = sounds_in(SHIPPED["start"][:3000], SHIPPED)
    assert {"pip", "start", "end"} <= set(beginning.names)
    assert not beginning.whole


@pytest.mark.parametrize(
    ("played", "wrong"),
    [
        (("pip", "start", "end"), []),
        (("pip", "step", "end"), ["heard and not due: step", "due and not heard: start"]),
        (("pip", "start", "start", "end"), ["heard and not due: start"]),
        (("pip", "end"), ["due and not heard: start"]),
        ((), ["due and not heard: pip", "due and not heard: start", "due and not heard: end"]),
    ],
)
def test_a_wrong_a_doubled_and_a_missing_cue_are_faults(played: tuple[str, ...], wrong: list[str]) -> None:
    """What is heard and was not due is a fault, and what was due, is not heard, and nobody tells of."""
    lines = faults(DUE, sounds_in(recording(*played) if played else np.zeros(0, np.int16), SHIPPED), [])
    assert [line.split(" at ")[0] for line in lines] == wrong


def test_cues_in_the_wrong_order_are_a_fault() -> None:
    """A cue that is heard after one that was due two seconds later is out of order."""
    assert faults(DUE, sounds_in(recording("end", "start", "pip"), SHIPPED), []) != []


def test_half_a_cue_is_a_fault_unless_a_strike_may_cut_it() -> None:
    """A cue of which the beginning alone is heard was not heard, but for a call that may be struck away."""
    half = sounds_in(np.concatenate([recording("pip", "start"), SHIPPED["end"][:20000]]), SHIPPED)
    assert [line.split(" at ")[0] for line in faults(DUE, half, [])] == ["due and not heard: end"]
    assert faults(DUE, half, [], may_be_cut=True) == []


START = cue(102.0, "start")


@pytest.mark.parametrize(
    ("reports", "excused"),
    [
        ([("dropped", {"cue": START, "why": "late"})], True),
        ([("bell", {"cue": START})], True),
        ([("lost", {"driver": "miniaudio"})], True),
        ([("dropped", {"cue": cue(103.0, "end"), "why": "late"})], False),
        ([("dropped", {"cue": START, "why": "no room for the words"})], False),
        ([("underrun", {"buffer": 0.06})], False),
    ],
)
def test_a_missing_cue_is_excused_by_what_the_tool_tells_of_it(
    reports: list[tuple[str, dict[str, Any]]], excused: bool
) -> None:
    """A cue told as dropped or given to the bell may be missing, one for each driver that was lost too."""
    assert (faults(DUE, sounds_in(recording("pip", "end"), SHIPPED), reports) == []) is excused


def test_a_lost_driver_excuses_one_cue_only() -> None:
    """Two cues that are gone with one lost driver are one too many."""
    lines = faults(DUE, sounds_in(recording("end"), SHIPPED), [("lost", {})])
    assert [line.split(" at ")[0] for line in lines] == ["due and not heard: start"]


def test_a_cue_may_be_begun_anew_after_a_lost_driver() -> None:
    """A cue that was cut off and then played whole is a fault, unless a driver was lost."""
    parts = (recording("pip"), SHIPPED["start"][:3000], recording("start", "end"))
    again = sounds_in(np.concatenate(parts), SHIPPED)
    assert faults(DUE, again, []) != []
    assert faults(DUE, again, [("lost", {})]) == []
    twice = sounds_in(recording("pip", "start", "start", "end"), SHIPPED)
    assert faults(DUE, twice, [("lost", {})]) != []
