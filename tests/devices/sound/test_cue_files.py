"""The cue files: made by the script, heard apart by rhythm, and fit for a dark room's small speaker.

ISO 7731 and IEC 60601-1-8 (figures from memory): fundamentals 150 to 1000 Hz, at least four
components up to 4 kHz within 15 dB of each other. ISO 8201 (from memory): an evacuation signal is
three half-second pulses half a second apart.
"""

from __future__ import annotations

import itertools
import wave
from array import array
from pathlib import Path

import pytest

np = pytest.importorskip("numpy", reason="numpy does the FFT of these checks")

from darkroom.devices.sound import wav  # noqa: E402
from darkroom.devices.sound.cue_names import CUES as NAMES  # noqa: E402
from darkroom.devices.sound.cue_names import WORDS_ALONE, cue_files  # noqa: E402
from darkroom.devices.sound.make_cues import CUES, length, main, render  # noqa: E402
from darkroom.devices.sound.sound_files import shipped  # noqa: E402
from tests.kit.sound_recording import RATE, noisy, recognise, segments, small_speaker  # noqa: E402

STEMS = sorted(CUES)
TRIALS = 10
"""Of each cue, full and through a small speaker: 320 in all. The benchmark takes more."""


def heard(stem: str):
    """Return a cue's file as floats, as another program reads it."""
    with wave.open(str(shipped() / f"{stem}.wav"), "rb") as file:
        return np.frombuffer(file.readframes(file.getnframes()), dtype="<i2").astype(float)


def padded(x):
    """Return a sound with 0.6 s of silence before and 0.4 s after."""
    return np.concatenate([np.zeros(int(0.6 * RATE)), x, np.zeros(int(0.4 * RATE))])


def test_every_cue_of_the_bench_has_a_file() -> None:
    """Every cue the bench may ask for is in the shipped set, and nothing else is."""
    from typing import get_args

    from darkroom.bench.cues import CueName

    assert {*get_args(CueName)} - {*WORDS_ALONE} == set(NAMES)
    assert sorted(path.stem for path in shipped().glob("*.wav")) == cue_files() == STEMS


@pytest.mark.parametrize("stem", STEMS)
def test_a_file_is_what_the_script_makes(stem: str) -> None:
    """Each shipped file is what the script makes today, within one step of rounding."""
    made, kept = render(CUES[stem]), wav.read(shipped() / f"{stem}.wav")
    assert len(made) == len(kept)
    assert max(abs(a - b) for a, b in zip(made, kept, strict=True)) <= 1


def test_the_script_writes_the_set(tmp_path: Path) -> None:
    """The script fills an empty folder with the whole set."""
    assert main([str(tmp_path / "new")]) == 0
    assert sorted(path.stem for path in (tmp_path / "new").iterdir()) == STEMS


@pytest.mark.parametrize("stem", STEMS)
def test_the_form_of_a_file(stem: str) -> None:
    """A cue is 44.1 kHz, 16 bits, mono, shorter than 1.5 s and peaks at half of full scale."""
    with wave.open(str(shipped() / f"{stem}.wav"), "rb") as file:
        assert (file.getframerate(), file.getsampwidth(), file.getnchannels()) == (44100, 2, 1)
    x = heard(stem)
    assert len(x) / RATE <= 1.5
    assert 0.49 * 32768 <= np.max(np.abs(x)) <= 0.51 * 32768


@pytest.mark.parametrize("stem", STEMS)
def test_nothing_clicks(stem: str) -> None:
    """No pulse begins or ends with a jump: hardly any energy above 6 kHz in any 5 ms of a cue."""
    x = padded(heard(stem))
    spectrum = np.fft.rfft(x)
    spectrum[np.fft.rfftfreq(len(x), 1 / RATE) < 6000] = 0
    high = np.fft.irfft(spectrum, len(x))
    assert np.max(np.abs(high)) < 0.004 * 32768


def test_a_square_edge_would_click() -> None:
    """The check of clicks fails for a pulse that is cut off."""
    x = padded(heard("pip")[:2500])
    spectrum = np.fft.rfft(x)
    spectrum[np.fft.rfftfreq(len(x), 1 / RATE) < 6000] = 0
    assert np.max(np.abs(np.fft.irfft(spectrum, len(x)))) > 0.004 * 32768


@pytest.mark.parametrize("stem", STEMS)
def test_four_harmonics_within_fifteen_decibels(stem: str) -> None:
    """Each pulse has a fundamental of 500 to 1000 Hz and four components within 15 dB, up to 4 kHz."""
    x = heard(stem)
    for at, lasts, f0 in CUES[stem]:
        assert 500 <= f0 <= 1000
        pulse = x[int(at * RATE) : int((at + lasts) * RATE)]
        spectrum = 20 * np.log10(np.abs(np.fft.rfft(pulse * np.hanning(len(pulse)), 1 << 16)) + 1e-9)
        step = RATE / (1 << 16)

        def level(f: float, spectrum=spectrum, step=step) -> float:
            near = slice(int((f - 15) / step), int((f + 15) / step))
            return float(np.max(spectrum[near]))

        levels = [level(f0 * k) for k in (1, 2, 3, 4)]
        assert 4 * f0 <= 4000
        assert max(levels) - min(levels) <= 15
        assert levels[0] == max(levels)


def _intervals(stem: str) -> list[tuple[float, float]]:
    """Return (onset, duration) of each pulse: the rhythm without the pitch."""
    return [(at, lasts) for at, lasts, _ in CUES[stem]]


@pytest.mark.parametrize(("one", "other"), list(itertools.combinations(STEMS, 2)))
def test_any_two_differ_in_rhythm(one: str, other: str) -> None:
    """Any two cues differ in the number of pulses, or by 50 ms in the onset or length of one."""
    a, b = _intervals(one), _intervals(other)
    if len(a) == len(b):
        apart = [max(abs(x[0] - y[0]), abs(x[1] - y[1])) for x, y in zip(a, b, strict=True)]
        assert max(apart) >= 0.05


def test_urgency_can_be_ranked_by_ear() -> None:
    """A more urgent overrun call has more pulses, faster, and higher."""
    rows = [CUES[f"overrun-{urgency}"] for urgency in (1, 2, 3)]
    counts = [len(row) for row in rows]
    paces = [row[1][0] - row[0][0] for row in rows]
    pitches = [row[0][2] for row in rows]
    assert counts == sorted(set(counts))
    assert paces == sorted(set(paces), reverse=True)
    assert pitches == sorted(set(pitches))


@pytest.mark.parametrize("stem", STEMS)
def test_nobody_takes_a_cue_for_an_evacuation_signal(stem: str) -> None:
    """No cue has three half-second pulses, nor four tenths a tenth apart (a gas alarm; from memory)."""
    pulses = CUES[stem]
    long = [lasts for _, lasts, _ in pulses if 0.4 <= lasts <= 0.6]
    assert len(long) < 3
    gaps = [b[0] - a[0] - a[1] for a, b in itertools.pairwise(pulses)]
    tenths = [0.08 <= lasts <= 0.12 for _, lasts, _ in pulses]
    assert not (len(pulses) == 4 and all(tenths) and all(0.08 <= gap <= 0.12 for gap in gaps))


def test_cues_are_about_equally_loud() -> None:
    """The sounding parts of any two cues differ by less than 2 dB."""

    def loud(stem: str) -> float:
        x = heard(stem)
        parts = [x[int(at * RATE) : int((at + lasts) * RATE)] for at, lasts, _ in CUES[stem]]
        return float(20 * np.log10(np.sqrt(np.mean(np.concatenate(parts) ** 2))))

    levels = [loud(stem) for stem in STEMS]
    assert max(levels) - min(levels) < 2.0


@pytest.mark.parametrize("speaker", ["full", "small"])
def test_cues_are_recognised_in_noise(speaker: str) -> None:
    """At 10 dB above pink noise at least 99 % of the cues are recognised, through a small speaker too."""
    rng = np.random.default_rng(1851)
    wrong = []
    for stem in STEMS:
        x = padded(heard(stem))
        x = small_speaker(x) if speaker == "small" else x
        for _ in range(TRIALS):
            found = recognise(segments(noisy(x, 10.0, rng)))
            wrong += [] if found == stem else [(stem, found)]
    assert len(wrong) <= 0.01 * TRIALS * len(STEMS), wrong


def test_a_cue_takes_as_long_as_its_pulses() -> None:
    """The length of a file is the end of its last pulse."""
    for stem in STEMS:
        assert len(heard(stem)) == round(length(CUES[stem]) * RATE)
        assert isinstance(render(CUES["pip"]), array)


def test_a_cue_drowned_in_noise_is_not_recognised() -> None:
    """The program's ear can fail: 15 dB below the noise it takes most cues for others."""
    rng = np.random.default_rng(2)
    right = sum(recognise(segments(noisy(padded(heard(stem)), -15.0, rng))) == stem for stem in STEMS)
    assert right < len(STEMS) / 2
