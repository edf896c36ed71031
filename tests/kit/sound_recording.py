"""A real sound server without a sound card, what it played as samples, and a program's ear for cues.

The server is PulseAudio with a null sink in a folder of its own; its monitor is recorded with parec,
and each recorded sample has an instant on the boot clock (within about 3 ms: the least of arrival
minus length over all chunks).
"""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
import threading
import time
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from darkroom.devices.clock import Clock
from darkroom.devices.sound.make_cues import CUES
from tests.kit.cues_heard import Due, HeardSound, Reports, Sounds, faults, sounds_in, unheard

RATE = 44100
LATENCY = 0.005
"""What parec is asked for; the null sink hands a block on when it renders it, so much before it is due."""
SILENCE = 0.5
"""Seconds without a sound after which a recording can begin: no cue has so long a gap in it."""
PATIENCE = 30.0
"""Seconds after which a sound that was not heard will not be heard."""
Samples = NDArray[np.float64]
up = Clock().up


def missing() -> str | None:
    """Return which program of the rig this machine lacks, or None."""
    return next((name for name in ("pulseaudio", "parec", "pactl") if shutil.which(name) is None), None)


class Server:
    """A PulseAudio server of our own; `env` leads programs to it."""

    def __init__(self, *, rewinds: bool = True) -> None:
        """Lay out the folder; nothing runs yet.

        A sink that rewinds, as a sound card's does, takes silence back for what it is given late, but its
        recorder has had that silence: so much of the sound is missing there. Without `rewinds` none is.
        """
        self.rewinds = rewinds
        self.folder = Path(tempfile.mkdtemp(prefix="snd"))
        self.folder.chmod(0o700)
        (self.folder / "client.conf").write_text("autospawn = no\nenable-shm = no\n")
        (self.folder / ".asoundrc").write_text("pcm.!default { type pulse }\nctl.!default { type pulse }\n")
        self.env = {
            "XDG_RUNTIME_DIR": str(self.folder),
            "HOME": str(self.folder),
            "PULSE_CLIENTCONFIG": str(self.folder / "client.conf"),
            "PULSE_SERVER": f"unix:{self.folder}/pulse/native",
            "PULSE_COOKIE": str(self.folder / "cookie"),
        }
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start the server and wait until it answers."""
        self.process = subprocess.Popen(
            [
                "pulseaudio",
                "-n",
                "--daemonize=no",
                "--exit-idle-time=-1",
                "--disable-shm=yes",
                "--realtime=yes",
                "--high-priority=yes",
                "--log-level=error",
                "--load=module-native-protocol-unix",
                f"--load=module-null-sink sink_name=cue rate={RATE} channels=1"
                + ("" if self.rewinds else " norewinds=yes"),
            ],
            env={**os.environ, **self.env},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        assert wait_for(self._answers, PATIENCE), "the sound server does not answer"

    def _answers(self) -> bool:
        if not (self.folder / "pulse" / "native").exists():
            return False
        done = subprocess.run(
            ["pactl", "info"], env={**os.environ, **self.env}, capture_output=True, check=False
        )
        return done.returncode == 0

    def kill(self) -> None:
        """End the server as a crash does."""
        if self.process is not None:
            self.process.kill()
            self.process.wait(5)
            self.process = None
            (self.folder / "pulse" / "native").unlink(missing_ok=True)
            (self.folder / "pulse" / "pid").unlink(missing_ok=True)

    def close(self) -> None:
        """End the server and remove its folder."""
        self.kill()
        shutil.rmtree(self.folder, ignore_errors=True)


class Capture:
    """Everything the null sink plays, from `start` on."""

    def __init__(self, server: Server) -> None:
        """Begin to record, and wait until it is under way."""
        self.of = server.process
        self._chunks: list[tuple[float, int, bytes]] = []
        self._last_sound = 0
        self._process = subprocess.Popen(
            [
                "parec",
                "--device=cue.monitor",
                "--format=s16le",
                f"--rate={RATE}",
                "--channels=1",
                f"--latency-msec={LATENCY * 1000:.0f}",
                "--raw",
            ],
            env={**os.environ, **server.env},
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            bufsize=0,
        )
        threading.Thread(target=self._read, daemon=True).start()
        # A null sink wakes twice a second until a client asks for more.
        assert wait_for(lambda: len(self._chunks) > 200, PATIENCE), "nothing is recorded"

    def _read(self) -> None:
        assert self._process.stdout is not None
        total = 0
        while chunk := os.read(self._process.stdout.fileno(), 65536):
            arrived = up()
            total += len(chunk)
            if any(chunk):
                self._last_sound = total
            self._chunks.append((arrived, total, chunk))

    def between(self, begin: float, end: float) -> tuple[Samples, float]:
        """Return what was played between two instants, and the first sample's instant. Waits for the end."""
        while up() < end + 0.15:
            time.sleep(0.02)
        chunks = list(self._chunks)
        zero = self._zero(chunks, begin)
        first, last = (max(0, int((instant - zero) * RATE)) for instant in (begin, end))
        wanted = [chunk for chunk in chunks if chunk[1] > 2 * first and chunk[1] - len(chunk[2]) < 2 * last]
        skipped = (wanted[0][1] - len(wanted[0][2])) // 2 if wanted else 0
        raw = np.frombuffer(b"".join(chunk for _, _, chunk in wanted), dtype="<i2").astype(float)
        return raw[first - skipped : last - skipped], zero + first / RATE

    def silence(self) -> int:
        """Wait until nothing has sounded for `SILENCE` seconds; return how many samples there are by then."""

        quiet = int(2 * RATE * SILENCE)
        falls_silent = wait_for(lambda: 2 * self.recorded() - self._last_sound >= quiet, PATIENCE)
        assert falls_silent, "it never falls silent"
        return self.recorded()

    def recorded(self) -> int:
        """Return how many samples there are by now."""
        return self._chunks[-1][1] // 2 if self._chunks else 0

    def since(self, sample: int) -> NDArray[np.int16]:
        """Return everything that has been recorded from a sample on, as it was played."""
        later = [(total - len(chunk), chunk) for _, total, chunk in list(self._chunks) if total > 2 * sample]
        if not later:
            return np.zeros(0, dtype=np.int16)
        recorded = b"".join(chunk for _, chunk in later)[max(0, 2 * sample - later[0][0]) :]
        return np.frombuffer(recorded[: len(recorded) // 2 * 2], dtype="<i2")

    def true(self, instants: Sequence[float], begin: float) -> list[float]:
        """Return instants counted in samples from `begin` on as what they were: the sink's clock drifts."""
        chunks = list(self._chunks)
        zero = self._zero(chunks, begin)
        return [at + self._zero(chunks, at) - zero for at in instants]

    def instant(self, sample: int) -> float:
        """Return the instant of a sample on the boot clock, judged by what arrived about then."""
        chunks = list(self._chunks)
        arrived = next((at for at, total, _ in chunks if total > 2 * sample), chunks[-1][0])
        return self._zero(chunks, arrived) + sample / RATE

    @staticmethod
    def _zero(chunks: list[tuple[float, int, bytes]], near: float) -> float:
        """Return the instant of the first sample, judged by what arrived within 2 s of an instant."""
        ages = [at - total / 2 / RATE for at, total, _ in chunks[20:] if abs(at - near) < 2.0]
        return min(ages or [chunks[-1][0] - chunks[-1][1] / 2 / RATE]) + LATENCY

    def close(self) -> None:
        """Stop recording."""
        self._process.kill()
        self._process.wait(5)


class Ear:
    """Listens to a recording from the moment at which it is made: which sounds were heard, in order."""

    def __init__(self, capture: Capture, known: Sounds) -> None:
        """Wait for silence, then listen for these sounds."""
        self.capture, self.known = capture, known
        self.begin = capture.silence()

    def heard(self) -> list[HeardSound]:
        """Return what was heard so far."""
        return sounds_in(self.capture.since(self.begin), self.known)

    def wait(self, due: Sequence[Due], reports: Callable[[], Reports]) -> None:
        """Wait until no due sound is unheard, or for `PATIENCE` seconds."""
        wait_for(lambda: not unheard(due, self.heard(), reports()), PATIENCE, 0.1)

    def faults(self, due: Sequence[Due], reports: Callable[[], Reports]) -> list[str]:
        """Wait for every due sound, and for silence after it; return what is wrong, as `faults` does."""
        self.wait(due, reports)
        self.capture.silence()
        return faults(due, self.heard(), reports())


def wait_for(test: Callable[[], object], seconds: float, look: float = 0.02) -> bool:
    """Return True as soon as `test` is true, False after so many seconds; it is tried each `look` seconds."""
    give_up = time.monotonic() + seconds
    while not test():
        if time.monotonic() > give_up:
            return False
        time.sleep(look)
    return True


# --- the program's ear -------------------------------------------------------------------------

HOP = 0.005
WIDTH = 0.015
Segment = tuple[float, float, float]
"""(begins at seconds, lasts seconds, fundamental in Hz)."""


def band(x: Samples, low: float = 400.0, high: float = 6000.0) -> Samples:
    """Return the part of a sound between two frequencies."""
    spectrum = np.fft.rfft(x)
    f = np.fft.rfftfreq(len(x), 1 / RATE)
    spectrum[(f < low) | (f > high)] = 0
    return np.fft.irfft(spectrum, len(x))


def small_speaker(x: Samples, corner: float = 400.0) -> Samples:
    """Return a sound as a small speaker gives it: a second-order high-pass at 400 Hz."""
    spectrum = np.fft.rfft(x)
    ratio = np.fft.rfftfreq(len(x), 1 / RATE) / corner
    return np.fft.irfft(spectrum * ratio**2 / np.sqrt(1 + ratio**4), len(x))


def pink(length: int, rng: np.random.Generator) -> Samples:
    """Return pink noise: equal power in each octave."""
    spectrum = rng.standard_normal(length // 2 + 1) + 1j * rng.standard_normal(length // 2 + 1)
    f = np.maximum(np.arange(length // 2 + 1), 1)
    return np.fft.irfft(spectrum / np.sqrt(f), length)


def noisy(x: Samples, snr: float, rng: np.random.Generator) -> Samples:
    """Return a sound with pink noise so many dB below its sounding part, within 400 to 6000 Hz."""
    inside = band(x)
    loud = inside[np.abs(x) > 0.05 * np.max(np.abs(x))]
    noise = pink(len(x), rng)
    gain = np.sqrt(np.mean(loud**2) / np.mean(band(noise) ** 2)) / 10 ** (snr / 20)
    return x + noise * gain


def envelope(x: Samples) -> Samples:
    """Return the loudness of each 5 ms, over 15 ms, without what lies outside 400 to 6000 Hz."""
    width, hop = int(WIDTH * RATE), int(HOP * RATE)
    power = np.convolve(band(x) ** 2, np.ones(width) / width, "same")
    return np.sqrt(np.maximum(power[::hop], 0.0))


def segments(x: Samples) -> list[Segment]:
    """Return the pulses in a sound that begins with 0.3 s without any."""
    loud = envelope(x)
    floor = float(np.median(loud[: int(0.25 / HOP)]))
    top = float(np.percentile(loud, 99.0))
    begin, end = floor + 0.45 * (top - floor), floor + 0.30 * (top - floor)
    found: list[list[int]] = []
    on = False
    for index, value in enumerate(loud):
        if not on and value > begin:
            on = True
            found.append([index, index])
        if on:
            found[-1][1] = index
            on = value >= end
    hop = int(HOP * RATE) / RATE
    return [
        (a * hop, (b - a) * hop, pitch(band(x)[int(a * hop * RATE) : int(b * hop * RATE)]))
        for a, b in found
        if (b - a) * hop >= 0.02
    ]


def pitch(x: Samples) -> float:
    """Return the fundamental whose first four harmonics together are strongest."""
    size = 1 << 16
    spectrum = np.abs(np.fft.rfft(x * np.hanning(len(x)), size))
    step = RATE / size
    candidates = np.arange(450.0, 1150.0, 4.0)
    weights = (1.0, 0.8, 0.7, 0.6)
    score = sum(
        w * np.log(spectrum[np.round(candidates * (k + 1) / step).astype(int)] + 1e-9)
        for k, w in enumerate(weights)
    )
    return float(candidates[int(np.argmax(score))])


def distance(heard: Sequence[Segment], cue: Sequence[Segment]) -> float:
    """Return how unlike two rows of pulses are: rhythm first, then pitch."""
    if len(heard) != len(cue) or not heard:
        return 5.0 + abs(len(heard) - len(cue))
    first = heard[0][0]
    return sum(
        abs(h[0] - first - c[0]) / 0.05 + abs(h[1] - c[1]) / 0.06 + abs(np.log2(h[2] / c[2])) * 6
        for h, c in zip(heard, cue, strict=True)
    ) / len(cue)


def recognise(heard: Sequence[Segment]) -> str:
    """Return the name of the cue that a row of pulses is most like."""
    return min(CUES, key=lambda name: distance(heard, CUES[name]))


def onset(x: Samples, level: float = 1500.0) -> int | None:
    """Return the first sample louder than a level (of 32768), or None."""
    above = np.flatnonzero(np.abs(x) > level)
    return int(above[0]) if len(above) else None


def onsets(x: Samples, gap: float, level: float = 1500.0) -> list[int]:
    """Return each sample that is loud after at least `gap` seconds of quiet."""
    above = np.flatnonzero(np.abs(x) > level)
    if not len(above):
        return []
    first = np.concatenate([[True], np.diff(above) > gap * RATE])
    return [int(sample) for sample in above[first]]
