"""The process of a plate as its journal has it, one object for all plates with the same bytes. Pure.

Most plates of a log go through one of a few processes, and each journal holds its process whole: what
follows from it is worked out once.
"""

from __future__ import annotations

from functools import cached_property, lru_cache
from typing import Any

import msgspec

from darkroom.process.file import plain_form
from darkroom.process.model import Process

LARGEST = 1 << 18
"""A process of more bytes is not kept for other plates."""
MOST = 16
"""So many different ones are kept."""
_PLAIN = msgspec.json.Decoder(dict[str, Any])


class SharedProcess(dict[str, Any]):
    """A process as plain values, as `PlateStarted.process` has it; it is never changed."""

    @cached_property
    def text(self) -> bytes:
        """The process as JSON. Raises as `msgspec.json.encode`."""
        return msgspec.json.encode(self)


def shared(raw: bytes) -> SharedProcess:
    """Return the process of these bytes of a journal. Raises msgspec.DecodeError where they are none."""
    for known, process in _known:  # compared, not hashed: a process has thousands of bytes
        if known == raw:
            return process
    process = SharedProcess(_PLAIN.decode(raw))
    if len(raw) <= LARGEST:
        _known.insert(0, (raw, process))
        del _known[MOST:]
    return process


_known: list[tuple[bytes, SharedProcess]] = []
"""Several threads may use it: a list takes a change while another goes through it."""


def text_of(plain: dict[str, Any]) -> bytes:
    """Return a plain process as JSON. Raises as `msgspec.json.encode`."""
    return plain.text if isinstance(plain, SharedProcess) else msgspec.json.encode(plain)


def checked(plain: dict[str, Any]) -> Process:
    """Return the checked process of a plain one. Raises ProcessError where it is none."""
    try:
        return _checked(text_of(plain))
    except (TypeError, ValueError):
        return plain_form.from_plain(plain)


@lru_cache(maxsize=16)
def _checked(text: bytes) -> Process:
    return plain_form.from_plain(_PLAIN.decode(text))
