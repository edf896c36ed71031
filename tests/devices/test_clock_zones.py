"""The time zone changes under the running program: every time that is written stays the same instant."""

from __future__ import annotations

import os
import struct
import sys
import threading
import time
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from darkroom.devices.clock import stamp

WALL = 1_772_355_600.25
"""2026-03-01 09:00:00.250 UTC."""

pytestmark = pytest.mark.skipif(not hasattr(time, "tzset"), reason="the zone of the process is fixed here")


def zone_file(path: Path, seconds: int) -> None:
    """Write a zone that is always so many seconds east of UTC (TZif, RFC 9636, version 1)."""
    counts = struct.pack(">6l", 0, 0, 0, 0, 1, 4)
    path.write_bytes(b"TZif" + bytes(16) + counts + struct.pack(">lBB", seconds, 0, 0) + b"ZON\0")


def set_zone(path: Path) -> None:
    """Have this process read its zone from a file."""
    os.environ["TZ"] = f":{path}"
    time.tzset()


@pytest.fixture
def zones(tmp_path: Path) -> Iterator[Path]:
    """Return a folder of zones; the process is in the one an hour east of UTC."""
    before = os.environ.get("TZ")
    for name, hours in (("east", 1), ("west", -9), ("beyond", 24)):
        zone_file(tmp_path / name, hours * 3600)
    (tmp_path / "rubbish").write_bytes(b"TZif" + b"\xff" * 40)
    set_zone(tmp_path / "east")
    yield tmp_path
    os.environ.pop("TZ") if before is None else os.environ.update(TZ=before)
    time.tzset()


def test_a_time_is_written_with_the_offset_it_is_told_in(zones: Path) -> None:
    """The instant is the same before and after a change, with the offset of the zone that is read."""
    assert stamp(WALL) == "2026-03-01T10:00:00.250+01:00"
    set_zone(zones / "west")
    assert stamp(WALL) == "2026-03-01T00:00:00.250-09:00"


@pytest.mark.parametrize("name", ["west", "beyond", "rubbish", "missing"])
def test_a_zone_file_that_is_replaced_changes_no_instant(zones: Path, name: str) -> None:
    """The link that the zone is read through leads elsewhere, as when a system's zone is set.

    The instant is right; whether the new offset is seen before the next start is the system library's affair.
    """
    link, aside = zones / "zone", zones / "aside"
    link.symlink_to("east")
    set_zone(link)
    aside.symlink_to(name)
    aside.replace(link)
    for read_again in (lambda: None, time.tzset, time.localtime, lambda: time.strftime("%c")):
        read_again()
        assert datetime.fromisoformat(stamp(WALL)).timestamp() == WALL


@pytest.mark.parametrize("name", ["beyond", "rubbish", "missing"])
def test_a_zone_that_is_none_is_utc(zones: Path, name: str) -> None:
    """A zone a day away, a file that is no zone, or none at all: the time is right, in UTC."""
    set_zone(zones / name)
    assert stamp(WALL) == "2026-03-01T09:00:00.250+00:00"


def test_no_time_is_half_of_one_zone_and_half_of_another(zones: Path) -> None:
    """While the zone goes to and fro in another thread, each time that is written is the same instant."""
    is_over = threading.Event()

    def change() -> None:
        for number in range(1500):
            set_zone(zones / ("east", "west")[number % 2])
        is_over.set()

    changing = threading.Thread(target=change)
    interval = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    try:
        changing.start()
        written = {stamp(WALL)}
        while not is_over.is_set():
            written.add(stamp(WALL))
    finally:
        changing.join()
        sys.setswitchinterval(interval)
    assert {datetime.fromisoformat(text).timestamp() for text in written} == {WALL}
