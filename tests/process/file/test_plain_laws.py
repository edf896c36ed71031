"""The process of a journal written by hand: a law that tells no time is refused, never worked with."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest

from darkroom import resources
from darkroom.errors import ProcessError
from darkroom.process.file.plain_form import from_plain, to_plain
from darkroom.process.timing import seconds_at


def _with(key: str, value: object) -> dict[str, Any]:
    plain: dict[str, Any] = msgspec.json.decode(
        msgspec.json.encode(to_plain(resources.load_process("clear-glass")))
    )
    next(stage for stage in plain["stages"] if stage["name"] == "sensitise")[key] = value
    return plain


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("expect", []),
        ("expect", [30.0]),
        ("expect", [10.0, 20.0, 30.0]),
        ("expect", [10.0, [20.0, [10.0, 30.0]]]),
        ("expect", [[20.0, [0.0, 30.0]], [30.0, [5.0, 10.0]]]),
        ("time", []),
    ],
)
def test_a_law_without_a_time_is_refused(key: str, value: object) -> None:
    """An empty table, a range without two ends and a range that begins at nothing name their stage."""
    with pytest.raises(ProcessError, match="of 'sensitise' is"):
        from_plain(_with(key, value))


@pytest.mark.parametrize("value", [[10.0, 30.0], [[10.0, [20.0, 40.0]], [20.0, [10.0, 30.0]]]])
def test_a_range_that_tells_its_times_is_taken(value: object) -> None:
    """Two times, or a table of them, go through unchanged."""
    stage = from_plain(_with("expect", value)).stage("sensitise")
    assert msgspec.json.decode(msgspec.json.encode(stage.expect)) == value


def test_a_temperature_that_stands_twice_gives_a_time_still() -> None:
    """Between two rows of one temperature there is nothing to divide by: the later row counts beyond them."""
    stage = from_plain(_with("time", [[20.0, 10.0], [20.0, 30.0]])).stage("sensitise")
    assert stage.time is not None
    assert [seconds_at(stage.time, celsius) for celsius in (5.0, 20.0, 30.0)] == [30.0, 10.0, 30.0]
