"""WAV files of every common kind, compared with what another reader makes of them.

The other reader is miniaudio's (dr_wav); where it is missing the stdlib's own writing is the check.
"""

from __future__ import annotations

import itertools
import math
import struct
import wave
from array import array
from pathlib import Path

import pytest

from darkroom.devices.sound import wav
from darkroom.devices.sound.cue_names import RATE
from darkroom.errors import NotReadable

RATES = (8000, 11025, 16000, 22050, 32000, 44100, 48000, 96000)


def tone(rate: int, seconds: float = 0.25, f: float = 440.0) -> list[float]:
    """Return a soft tone, -1 to 1."""
    return [0.5 * math.sin(2 * math.pi * f * i / rate) for i in range(int(rate * seconds))]


def riff(kind: int, channels: int, rate: int, bits: int, data: bytes, extensible: bool = False) -> bytes:
    """Return a WAV file with an odd chunk before the sound, as recorders write them."""
    size = channels * bits // 8
    form = struct.pack("<HHIIHH", 0xFFFE if extensible else kind, channels, rate, rate * size, size, bits)
    if extensible:
        guid = struct.pack("<H", kind) + bytes.fromhex("000000001000800000aa00389b71")
        form += struct.pack("<HHI", 22, bits, 0) + guid
    chunks = [(b"fmt ", form), (b"LIST", b"abc"), (b"data", data)]
    body = b"".join(
        tag + struct.pack("<I", len(part)) + part + b"\0" * (len(part) % 2) for tag, part in chunks
    )
    return b"RIFF" + struct.pack("<I", 4 + len(body)) + b"WAVE" + body


def packed(values: list[float], bits: int) -> bytes:
    """Return samples of -1 to 1 as PCM bytes."""
    if bits == 8:
        return bytes(round(value * 127) + 128 for value in values)
    top = (1 << (bits - 1)) - 1
    return b"".join(round(value * top).to_bytes(bits // 8, "little", signed=True) for value in values)


@pytest.mark.parametrize("bits", [8, 16, 24, 32])
@pytest.mark.parametrize("extensible", [False, True])
def test_every_width_gives_the_same_sound(bits: int, extensible: bool) -> None:
    """8, 16, 24 and 32-bit samples are read alike, plain or extensible."""
    values = tone(RATE)
    read = wav.parse(riff(1, 1, RATE, bits, packed(values, bits), extensible), "x.wav")
    assert len(read) == len(values)
    worst = max(abs(got / 32768 - value) for got, value in zip(read, values, strict=True))
    assert worst < (0.012 if bits == 8 else 0.0001)


def test_float_samples_are_read() -> None:
    """32-bit float samples are read; what is too loud or no number is brought within range."""
    data = array("f", [0.5, -0.5, 4.0, -4.0, math.nan]).tobytes()
    assert list(wav.parse(riff(3, 1, RATE, 32, data), "x.wav")) == [16383, -16383, 32767, -32768, 0]


def test_channels_are_mixed() -> None:
    """Of two channels the mean is played."""
    data = packed([0.5, 0.25, 0.5, -0.5], 16)
    left, both = wav.parse(riff(1, 2, RATE, 16, data), "x.wav")
    assert (left, both) == (pytest.approx(0.375 * 32767, abs=1), pytest.approx(0, abs=1))


@pytest.mark.parametrize("rate", RATES)
def test_any_rate_keeps_pitch_and_length(rate: int) -> None:
    """A 440 Hz tone at any rate is 440 Hz at ours: its zero crossings are counted."""
    read = wav.parse(riff(1, 1, rate, 16, packed(tone(rate, 1.0), 16)), "x.wav")
    assert len(read) == pytest.approx(RATE, abs=8)
    crossings = sum(1 for a, b in itertools.pairwise(read) if a < 0 <= b)
    assert crossings == pytest.approx(440, abs=1)


@pytest.mark.parametrize("bits", [8, 16, 24, 32])
@pytest.mark.parametrize("channels", [1, 2])
def test_another_reader_reads_the_same(bits: int, channels: int) -> None:
    """dr_wav and ours agree on every sample, within one step of 16 bits (of 8 bits where there are 8)."""
    miniaudio = pytest.importorskip("miniaudio", reason="miniaudio reads the files for comparison")
    raw = riff(1, channels, RATE, bits, packed(tone(RATE, 0.1), bits))
    other = miniaudio.decode(
        raw, output_format=miniaudio.SampleFormat.SIGNED16, nchannels=1, sample_rate=RATE
    ).samples
    ours = wav.parse(raw, "x.wav")
    assert len(ours) == len(other)
    assert max(abs(a - b) for a, b in zip(ours, other, strict=True)) <= 2


@pytest.mark.parametrize(
    ("raw", "reason"),
    [
        (b"", "not a WAV file"),
        (b"ID3\x03" + bytes(100), "not a WAV file"),
        (riff(1, 1, RATE, 16, b""), "no sound in it"),
        (riff(2, 1, RATE, 4, bytes(100)), "compressed or unknown sound (format 2)"),
        (riff(85, 1, RATE, 0, bytes(100)), "compressed or unknown sound (format 85)"),
        (riff(3, 1, RATE, 64, bytes(800)), "64-bit float samples cannot be read"),
        (riff(1, 1, RATE, 12, bytes(800)), "12-bit samples cannot be read"),
        (riff(1, 9, RATE, 16, bytes(1800)), "9 channels"),
        (riff(1, 0, RATE, 16, bytes(1800)), "0 channels"),
        (riff(1, 1, 0, 16, bytes(1800)), "0 samples a second"),
        (riff(1, 1, 8000, 8, bytes(90000)), "longer than 10 s"),
        (b"RIFF\x00\x00\x00\x00WAVEdata\x04\x00\x00\x00abcd", "no format in it"),
        (riff(1, 1, RATE, 16, bytes(100))[:30], "no format in it"),
    ],
)
def test_what_cannot_be_read_is_refused_with_the_reason(raw: bytes, reason: str) -> None:
    """A file that is no sound of ours is refused by name, and the reason is given."""
    with pytest.raises(NotReadable, match=r"x\.wav: ") as refused:
        wav.parse(raw, "x.wav")
    assert reason in str(refused.value)


def test_a_cut_file_plays_as_far_as_it_goes() -> None:
    """A file that was cut off in the middle of the sound is read up to there."""
    whole = riff(1, 1, RATE, 16, packed(tone(RATE), 16))
    assert 0 < len(wav.parse(whole[: len(whole) // 2], "x.wav")) < len(tone(RATE))


def test_a_missing_or_huge_file_is_refused(tmp_path: Path) -> None:
    """A path that cannot be read, and a file too large to be a sound, are refused."""
    with pytest.raises(NotReadable, match="No such file"):
        wav.read(tmp_path / "none.wav")
    huge = tmp_path / "huge.wav"
    with huge.open("wb") as file:
        file.truncate(25 * 1024 * 1024)
    with pytest.raises(NotReadable, match="larger than 24 MB"):
        wav.read(huge)


def test_what_the_standard_library_writes_is_read(tmp_path: Path) -> None:
    """A file written by the `wave` module is read sample for sample."""
    path = tmp_path / "a.wav"
    samples = array("h", (round(value * 32767) for value in tone(RATE)))
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(samples.tobytes())
    assert wav.read(path) == samples
