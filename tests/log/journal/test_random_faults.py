"""The writer of journals under faults drawn at random."""

from __future__ import annotations

import errno
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from darkroom.bench import events as ev
from darkroom.log.journal import write
from darkroom.log.journal.merge import read_plate
from darkroom.log.journal.write import Saved
from darkroom.log.store import paths as store_paths
from tests.kit.faulty_disk import FaultyDisk, first_path
from tests.kit.journals import DAY, PLATE, cause, eager_writer
from tests.kit.nightly import examples

FAULTS = st.lists(st.sampled_from([None, None, errno.ENOSPC, errno.EIO, errno.EROFS]), max_size=8)


@settings(max_examples=examples(60), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.fixed_dictionaries({kind: FAULTS for kind in ("write", "fsync", "folder", "create", "truncate")}),
    st.booleans(),
)
def test_whatever_fails_nothing_is_lost_or_out_of_order(
    tmp_path_factory: pytest.TempPathFactory, faults: dict[str, list[int | None]], restart: bool
) -> None:
    """Random faults in every call: each line is there when it is called saved, and all are at the end."""
    folder = tmp_path_factory.mktemp("any")
    home = folder / "home"
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(store_paths, "spill_places", lambda: (folder / "state", folder / "tmp"))
        faulty = FaultyDisk(patch)
        wrong: list[str] = []

        def check(report: write.Report) -> None:
            if isinstance(report, Saved):
                numbers = {event.n for event in plate_log(home).events}
                if not numbers >= set(range(1, report.n + 1)):
                    wrong.append(f"{report} but {sorted(numbers)}")

        for kind, script in faults.items():
            faulty.script(kind, *script)
        writer = eager_writer(home, check, retry=0.0)
        written: list[ev.AnyEvent] = []
        for number in range(6):
            if restart and number == 3:
                assert writer.close(5)
                writer = eager_writer(home, check, retry=0.0)
                writer.adopt(plate_log(home))
            writer.write(PLATE, DAY, cause(number))
            written += cause(number)
        assert writer.close(5)
        log = plate_log(home)
        assert list(log.events) == written
        assert log.problems == ()
        assert wrong == []


def plate_log(home: Path) -> Any:
    """Read the plate back from wherever its first file is."""
    from darkroom.log.journal.find import find_plates

    paths = find_plates(home)
    return read_plate(paths[0] if paths else first_path(home))
