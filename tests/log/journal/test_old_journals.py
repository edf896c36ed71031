"""Journals and process files of earlier versions are read with the same results as in their own version."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from darkroom import resources
from darkroom.bench import events as ev
from darkroom.event_base import Newer
from darkroom.log.journal.frame import encode
from darkroom.log.journal.journal_names import plate_of
from darkroom.process.file import plain_form
from tests.kit.plate_snapshot import (
    HOME,
    PROCESSES,
    TEMPERATURES,
    differences,
    not_the_same_bytes,
    plain,
    problems,
    read_old,
    snapshot,
    states,
    times,
)

STATES = states()
log_of = cache(lambda plate: read_old(STATES[plate]))
PROCESS_FILES = sorted(PROCESSES.glob("*.yaml"))
OUTSIDE = ("scene", "version", "not_the_same_bytes")
"""What a snapshot says of itself, and what has a test of its own."""

SHORTENED = "terminal_three_plates"
"""A run in real time: its process has the name of a shipped one and shorter times."""

pytestmark = pytest.mark.usefixtures("home")
"""Spilled files of this machine's user are none of these plates'."""

each_plate = pytest.mark.parametrize("plate", sorted(STATES))
each_process = pytest.mark.parametrize("path", PROCESS_FILES, ids=lambda path: path.stem)


@each_plate
def test_an_old_journal_leads_to_the_state_it_led_to(plate: str) -> None:
    """An old journal, read and folded now, gives the state, the course and the problems of its snapshot."""
    taken = {name: value for name, value in STATES[plate].items() if name not in OUTSIDE}
    members = {name: value for name, value in snapshot(log_of(plate), HOME).items() if name not in OUTSIDE}
    assert differences(taken, members) == []


@each_plate
def test_an_old_line_is_written_again_with_the_same_bytes(plate: str) -> None:
    """A line that was read and written byte for byte still is; a start may get new members, all empty."""
    log = log_of(plate)
    changed = set(not_the_same_bytes(log)) - set(STATES[plate]["not_the_same_bytes"])
    start = log.start
    if start is not None and start.n in changed:
        before, now = json.loads(log.frames[start.n]), json.loads(encode(start))
        assert {name: now[name] for name in before if name != "sum"} == {
            name: value for name, value in before.items() if name != "sum"
        }
        assert [name for name in now if name not in before and now[name] is not None] == []
        changed.discard(start.n)
    assert changed == set()
    for kept in (kept for part in log.journal_files for kept in part.good_lines):
        if isinstance(kept.event, ev.Continued):
            assert encode(kept.event) == kept.frame + b"\n"


def test_every_old_journal_has_its_snapshot() -> None:
    """The old journals are exactly those that the snapshots name."""
    lie = {str(path.relative_to(HOME)) for path in HOME.rglob("*.jsonl")}
    in_snapshots = {name for taken in STATES.values() for name in taken["files"]}
    assert lie == in_snapshots
    assert {plate_of(Path(name))[0] for name in lie} == set(STATES)  # type: ignore[index]


def test_the_old_journals_hold_every_kind_of_line() -> None:
    """The old journals contain every event of the first version with each value of its enumerations."""
    kinds: set[tuple[str, Any]] = set()
    for log in map(log_of, STATES):
        events = [*log.events, *(kept.event for part in log.journal_files for kept in part.good_lines)]
        for event in events:
            kinds.add((event.event if isinstance(event, Newer) else event.__struct_config__.tag, None))
            for name in ("how", "by", "kind", "held", "part", "corrects", "between", "timed"):
                value = getattr(event, name, None)
                if value is not None:
                    kinds.add((name, "line" if name == "corrects" else value))
            plan = getattr(event, "plan", None)
            if plan is not None:
                kinds.add(("between", plan.between))
                kinds |= {("plan", name) for name in ("seconds", "steps", "pops") if getattr(plan, name)}
    assert {name for name, value in kinds if value is None} >= {
        "plate_started", "acknowledged", "lead_in_started", "stage_started", "cleared", "stage_ended",
        "temperature", "humidity", "exposure_set", "wet_time_set", "mark", "moved", "undone", "refused",
        "resumed", "clock", "racked", "plate_ended", "note", "fault", "rating", "detail", "continued",
        "tray_rocked",
    }  # fmt: skip
    assert kinds >= {
        ("how", "strike"), ("how", "zero"), ("how", "told"), ("how", "short"), ("how", "skipped"),
        ("how", "done"), ("how", "unvarnished"), ("how", "abandoned"), ("by", "up"), ("by", "wall"),
        ("kind", "slept"), ("kind", "stepped"), ("kind", "stalled"), ("held", True), ("held", False),
        ("part", 2), ("part", 3), ("corrects", "line"), ("between", "run_on"), ("between", "strike"),
        ("between", 4.0), ("plan", "seconds"), ("plan", "steps"), ("plan", "pops"), ("timed", "away"),
    }  # fmt: skip


@each_process
def test_an_old_process_file_is_right_and_has_its_times(path: Path) -> None:
    """A process file of an earlier version has no problem, and its stages take what they took."""
    from darkroom.commands.process import process

    checked = CliRunner().invoke(process, ["check", str(path)])
    assert checked.exit_code == 0, checked.output
    kept = json.loads(path.with_suffix(".times.json").read_text(encoding="utf-8"))
    times_now = {words: times(path, words) for words in TEMPERATURES}
    assert differences(kept, times_now) == []


@each_process
def test_the_process_in_an_old_journal_is_that_of_its_file(path: Path) -> None:
    """What a plate was started with is read as the process file of that day is read."""
    read_now = resources.read_process(path)
    starts = [log_of(plate).start for plate, taken in STATES.items() if taken["scene"] != SHORTENED]
    of_file = [start.process for start in starts if start and start.process["name"] == read_now.name]
    assert of_file
    assert all(plain_form.from_plain(process) == read_now for process in of_file)


def test_no_old_journal_names_a_problem_twice() -> None:
    """The reader says each problem once, with the path from the folder of the log."""
    for plate in STATES:
        texts = plain(problems(log_of(plate), HOME))
        assert texts == list(dict.fromkeys(texts))
        assert not any(str(HOME) in text for text in texts)
