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


def _refuse(self: object, *_: object, **__: object) -> Any:
    """Refuse a change: the value belongs to every plate that has this process."""
    raise TypeError("a process that plates share cannot be changed; change a copy.deepcopy of it")


class _Mapping(dict[str, Any]):
    """A mapping that refuses changes; a deep copy and a pickled one are plain."""

    __setitem__ = __delitem__ = __ior__ = clear = pop = popitem = setdefault = update = _refuse

    def __reduce_ex__(self, protocol: Any) -> tuple[Any, ...]:
        """Return how a copy is made: a plain one, whose values are copied in turn."""
        return dict, (), None, None, iter(self.items())


class _Sequence(list[Any]):
    """A list that refuses changes; a deep copy and a pickled one are plain."""

    __setitem__ = __delitem__ = __iadd__ = __imul__ = _refuse
    append = clear = extend = insert = pop = remove = reverse = sort = _refuse

    def __reduce_ex__(self, protocol: Any) -> tuple[Any, ...]:
        """Return how a copy is made: a plain one, whose values are copied in turn."""
        return list, (), None, iter(self)


def _unchangeable(value: Any) -> Any:
    """Return plain values as equal ones that refuse changes at every depth."""
    if isinstance(value, dict):
        return _Mapping({key: _unchangeable(inner) for key, inner in value.items()})
    return _Sequence(map(_unchangeable, value)) if isinstance(value, list) else value


class SharedProcess(_Mapping):
    """A process as plain values, as `PlateStarted.process` has it; a change of it raises TypeError."""

    @cached_property
    def text(self) -> bytes:
        """The process as JSON. Raises as `msgspec.json.encode`."""
        return msgspec.json.encode(self)


def shared(raw: bytes) -> SharedProcess:
    """Return the process of these bytes of a journal. Raises msgspec.DecodeError where they are none."""
    for known, process in _known:  # compared, not hashed: a process has thousands of bytes
        if known == raw:
            return process
    process = SharedProcess(_unchangeable(_PLAIN.decode(raw)))
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
