"""Journals with very many lines, or very long ones."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from darkroom.bench import events as ev
from darkroom.log.journal.frame import encode
from tests.kit.journals import PLATE, started


def _begun(plate: str) -> list[ev.AnyEvent]:
    start = started(plate)
    stage = str(start.process["stages"][0]["name"])  # type: ignore[index]
    return [
        start,
        ev.StageStarted(n=2, at=start.at, up=start.up, stage=stage, planned=None, celsius=20.0),
    ]


def marks(count: int, plate: str = PLATE) -> bytes:
    """Return a journal with so many marks."""
    first = _begun(plate)
    at, up = first[0].at, first[0].up or 0.0
    return _encoded(
        [*first, *(ev.Mark(n=number + 3, at=at, up=up + number / 100) for number in range(count))]
    )


def readings(count: int, plate: str = PLATE) -> bytes:
    """Return a journal with so many temperatures."""
    first = _begun(plate)
    at, up = first[0].at, first[0].up or 0.0
    temperatures = (
        ev.Temperature(
            n=n + 3, at=at, up=up + n / 100, source="bath", celsius=20 + n % 7 / 10, from_="a glass"
        )
        for n in range(count)
    )
    return _encoded([*first, *temperatures])


def line_feeds(count: int, plate: str = PLATE) -> bytes:
    """Return a journal with so many empty lines behind its first."""
    return _encoded(_begun(plate)) + b"\n" * count


def words(count: int, plate: str = PLATE) -> bytes:
    """Return a journal with so many lines that are none of a journal."""
    return _encoded(_begun(plate)) + b"dust\n" * count


def one_line(count: int, plate: str = PLATE) -> bytes:
    """Return a journal with one line of so many beginnings of lines."""
    return _encoded(_begun(plate)) + b'{"n":3,' * count + b"\n"


def _encoded(events: Sequence[ev.AnyEvent]) -> bytes:
    return b"".join(map(encode, events))


KINDS: dict[str, Callable[..., bytes]] = {
    "marks": marks,
    "readings": readings,
    "line feeds": line_feeds,
    "words": words,
    "one line": one_line,
}
