"""Journals whose faults have a cause and answers, and whose ratings say nothing else, tell what they told."""

from __future__ import annotations

import json

import pytest

from darkroom.log.plate.record import read_record
from tests.kit.plate_snapshot import FIXTURES, not_the_same_bytes

HOME = FIXTURES / "judged_faults"
TOLD = json.loads((HOME / "told.json").read_text(encoding="utf-8"))

pytestmark = pytest.mark.usefixtures("home")
"""Spilled files of this machine's user are none of these plates'."""


@pytest.mark.parametrize("plate", sorted(TOLD))
def test_what_was_judged_is_read(plate: str) -> None:
    """Faults with cause and answers, what was looked for, stars, and each line in words, as when written."""
    told = TOLD[plate]
    record = read_record(HOME / told["file"])
    judged = record.judged
    assert record.problems == ()
    assert told["faults"] == [
        {"name": fault.name, "where": fault.where, "cause": fault.cause, "answers": dict(fault.answers)}
        for fault in judged.faults
    ]
    looked_for = judged.nothing_else
    assert told["nothing_else"] == (looked_for if isinstance(looked_for, bool) else list(looked_for or ()))
    assert (told["stars"], told["words"]) == (judged.stars, [line.text for line in record.account.words])


@pytest.mark.parametrize("plate", sorted(TOLD))
def test_its_lines_are_written_again_with_the_same_bytes(plate: str) -> None:
    """Every line but the first, which may get new members, is written byte for byte as it was."""
    log = read_record(HOME / TOLD[plate]["file"]).log
    assert log.start is not None
    assert set(not_the_same_bytes(log)) <= {log.start.n}


def test_every_journal_has_what_it_told() -> None:
    """The journals are exactly those that the file beside them names."""
    files = {str(path.relative_to(HOME)) for path in HOME.rglob("*.jsonl")}
    assert {told["file"] for told in TOLD.values()} == files
