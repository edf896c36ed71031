"""The short way to read a journal against the long one: the same lines, or declined."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings

from darkroom.bench import events as ev
from darkroom.event_base import Newer
from darkroom.log.catalogue.rows import plate_rows_of
from darkroom.log.journal.frame import encode
from darkroom.log.journal.merge import merge
from darkroom.log.journal.read import scan
from darkroom.log.journal.straight_file import log_of
from tests.kit.journals import PLATE, plate_events, started
from tests.kit.mutated_lines import disturbed
from tests.kit.nightly import examples

WHERE = Path("/nowhere/plates/2026/2026-03-01") / f"{PLATE}.jsonl"


def data_of(lines: list[ev.AnyEvent | Newer]) -> bytes:
    """Return the lines as bytes of a journal of `PLATE`; of a newer version's there is nothing to write."""
    known = [line for line in lines if not isinstance(line, Newer)]
    data = b"".join(map(encode, known))
    own = known[0].plate if isinstance(known[0], ev.PlateStarted) else ""
    return encode(started()) + data.split(b"\n", 1)[1] if own != PLATE else data


def compared(data: bytes) -> bool:
    """Compare both ways on the bytes of a journal; return whether the short one answered."""
    found, expected = log_of(WHERE, PLATE, data), merge(PLATE, [scan(WHERE, 1, data)])
    if found is None:
        return False
    for name in (
        "plate",
        "files",
        "events",
        "problems",
        "schema",
        "local_date",
        "start",
        "ended",
        "standing",
    ):
        assert getattr(found, name) == getattr(expected, name), name
    assert (found.racked, found.last_n, found.rehearsal) == (
        expected.racked,
        expected.last_n,
        expected.rehearsal,
    )
    assert plate_rows_of(found, "plates") == plate_rows_of(expected, "plates")
    return True


@given(lines=disturbed())
@settings(max_examples=examples(200), deadline=None)
def test_disturbed_journals_are_read_the_same(lines: list[ev.AnyEvent | Newer]) -> None:
    """Both ways read the same lines and make the same rows, whatever was left out or put between them."""
    compared(data_of(lines))


def test_a_whole_journal_is_read_on_the_short_way() -> None:
    """A journal with nothing wrong and nothing taken back is answered, its process one object for all."""
    lines = [line for line in plate_events() if not isinstance(line, (ev.Undone, ev.Moved))]
    lines = [line for line in lines if isinstance(line, (ev.PlateStarted, ev.StageStarted, ev.Rating))]
    numbered = [type(line)(**{**members(line), "n": n}) for n, line in enumerate(lines, 1)]
    data = b"".join(map(encode, numbered))
    assert compared(data)
    first, second = (log_of(WHERE, PLATE, data) for _ in range(2))
    assert first is not None and first.start is not None and second is not None and second.start is not None
    assert first.start.process is second.start.process


def members(line: ev.AnyEvent) -> dict[str, object]:
    """Return the members of a line by name."""
    return {name: getattr(line, name) for name in line.__struct_fields__}


@pytest.mark.parametrize(
    "damage",
    [
        lambda data: b"",
        lambda data: data[:-1],
        lambda data: data[:-40] + b"x" + data[-39:],
        lambda data: data + b"\n",
        lambda data: data + encode(ev.Mark(n=2, at="", up=1.0)),
        lambda data: data + encode(ev.Undone(n=3, at="", up=1.0, undoes=(2,), held=False)),
        lambda data: data + encode(ev.Continued(n=3, at="", up=1.0, plate=PLATE, saved=1, why="")),
        lambda data: data + encode(started(n=3)),
        lambda data: data.split(b"\n", 1)[1],
        lambda data: encode(started("another")) + data.split(b"\n", 1)[1],
    ],
    ids=[
        "empty", "no last LF", "bad sum", "empty line", "n twice", "undone", "continued", "second start",
        "no start", "another plate",
    ],
)  # fmt: skip
def test_what_is_not_whole_takes_the_long_way(damage: object) -> None:
    """Anything wrong with a file, or taken back in it, is for the long way."""
    data = encode(started()) + encode(ev.Mark(n=2, at="", up=1.0))
    assert log_of(WHERE, PLATE, data) is not None
    assert log_of(WHERE, PLATE, damage(data)) is None  # type: ignore[operator]
