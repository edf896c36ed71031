"""Reading WAV files of any common kind into 16-bit mono at our rate, with nothing but the library.

PCM of 8, 16, 24 and 32 bits and 32-bit float are read, plain or extensible, mono or more channels
(mixed), 4 to 192 kHz. All else is refused with the reason. Layout: RIFF/WAVE with `fmt ` and `data`
chunks, as in Microsoft's Multimedia Programming Interface and Data Specifications 1.0 (from memory).
"""

from __future__ import annotations

import math
import struct
import sys
from array import array
from itertools import chain
from pathlib import Path
from typing import Any

from darkroom import plain_files
from darkroom.devices.sound.cue_names import RATE
from darkroom.errors import NotReadable

LONGEST = 10.0
"""A sound longer than this is refused, in seconds."""
_LARGEST = 24 * 1024 * 1024
_PCM, _FLOAT, _EXTENSIBLE = 1, 3, 0xFFFE
_READ = {(_PCM, 8), (_PCM, 16), (_PCM, 24), (_PCM, 32), (_FLOAT, 32)}


def read(path: Path) -> array[int]:
    """Return the samples of a WAV file as 16-bit mono at 44.1 kHz. Raises NotReadable with the reason."""
    try:
        raw = plain_files.read_start(path, _LARGEST + 1)
    except OSError as error:
        raise NotReadable(f"{path}: {plain_files.reason(error)}") from error
    if len(raw) > _LARGEST:
        raise NotReadable(f"{path}: larger than {_LARGEST // 2**20} MB")
    return parse(raw, str(path))


def parse(raw: bytes, name: str) -> array[int]:
    """Return the samples in the bytes of a WAV file, as `read` does."""
    form, data = _chunks(raw, name)
    kind, channels, rate, width = form
    if (kind, width) not in _READ:
        raise NotReadable(f"{name}: {_unread(kind, width)} cannot be read; 8, 16, 24 or 32-bit PCM can")
    if not 1 <= channels <= 8:
        raise NotReadable(f"{name}: {channels} channels")
    if not 4000 <= rate <= 192000:
        raise NotReadable(f"{name}: {rate} samples a second")
    size = channels * width // 8
    data = data[: len(data) // size * size] if size else b""
    if not data:
        raise NotReadable(f"{name}: no sound in it")
    if len(data) / size / rate > LONGEST:
        raise NotReadable(f"{name}: longer than {LONGEST:g} s")
    return _at_our_rate(_mono(_sixteen_bits(data, kind, width), channels), rate)


def _chunks(raw: bytes, name: str) -> tuple[tuple[int, int, int, int], bytes]:
    """Return (kind, channels, rate, bits) and the bytes of the sound."""
    if raw[:4] != b"RIFF" or raw[8:12] != b"WAVE":
        raise NotReadable(f"{name}: not a WAV file")
    form: tuple[int, int, int, int] | None = None
    at = 12
    while at + 8 <= len(raw):
        tag, size = raw[at : at + 4], struct.unpack_from("<I", raw, at + 4)[0]
        body = raw[at + 8 : at + 8 + size]
        if tag == b"fmt " and len(body) >= 16:
            kind, channels, rate, _, _, bits = struct.unpack_from("<HHIIHH", body)
            if kind == _EXTENSIBLE and len(body) >= 26:
                kind = struct.unpack_from("<H", body, 24)[0]
            form = kind, channels, rate, bits
        elif tag == b"data":
            if form is None:
                break
            return form, body
        at += 8 + size + size % 2
    raise NotReadable(f"{name}: no {'sound' if form else 'format'} in it")


def _sixteen_bits(data: bytes, kind: int, bits: int) -> array[int]:
    """Return samples of any width as 16 bits, channels still interleaved."""
    if kind == _PCM and bits == 8:
        return array("h", ((value - 128) << 8 for value in data))
    if kind == _PCM and bits == 16:
        return _little(array("h", data))
    if kind == _FLOAT:
        return array("h", (_clip(value * 32767.0) for value in _little(array("f", data))))
    step = bits // 8
    top = bytes(chain.from_iterable(zip(data[step - 2 :: step], data[step - 1 :: step], strict=True)))
    return _little(array("h", top))


def _unread(kind: int, bits: int) -> str:
    """Return what a file holds that we do not read."""
    known = {_PCM: f"{bits}-bit samples", _FLOAT: f"{bits}-bit float samples"}
    return known.get(kind, f"compressed or unknown sound (format {kind})")


def _little(samples: array[Any]) -> array[Any]:
    if sys.byteorder == "big":
        samples.byteswap()
    return samples


def _clip(value: float) -> int:
    return 0 if math.isnan(value) else int(max(-32768.0, min(32767.0, value)))


def _mono(samples: array[int], channels: int) -> array[int]:
    if channels == 1:
        return samples
    parts = [samples[channel::channels] for channel in range(channels)]
    return array("h", (sum(frame) // channels for frame in zip(*parts, strict=True)))


def _at_our_rate(samples: array[int], rate: int) -> array[int]:
    """Return the samples at our rate, joined by straight lines."""
    if rate == RATE:
        return samples
    if rate * 2 == RATE:
        doubled = array("h", bytes(4 * len(samples)))
        doubled[0::2] = samples
        following = samples[1:] + samples[-1:]
        doubled[1::2] = array("h", ((a + b) >> 1 for a, b in zip(samples, following, strict=True)))
        return doubled
    last = len(samples) - 1
    made = array("h")
    for index in range(len(samples) * RATE // rate):
        whole, part = divmod(index * rate, RATE)
        here = samples[min(whole, last)]
        there = samples[min(whole + 1, last)]
        made.append(here + (there - here) * part // RATE)
    return made
