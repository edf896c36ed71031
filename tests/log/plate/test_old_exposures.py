"""Journals with a scene, a proposal, camera, holder and bottle ids tell what they told when written."""

from __future__ import annotations

import json
from pathlib import Path

import msgspec
import pytest

from darkroom.exposure.judged import JudgedPlate
from darkroom.log.journal.frame import encode
from darkroom.log.plate.judged_exposure import judged_exposure
from darkroom.log.plate.record import read_record
from tests.kit.plate_snapshot import FIXTURES, not_the_same_bytes

HOME = FIXTURES / "exposures"
TOLD = json.loads((HOME / "told.json").read_text(encoding="utf-8"))

pytestmark = pytest.mark.usefixtures("home")
"""Spilled files of this machine's user are none of these plates'."""


@pytest.mark.parametrize("plate", sorted(TOLD))
def test_what_was_written_of_the_exposure_is_read(plate: str) -> None:
    """Scene, proposal, camera, holder, bottle ids and the time given are those that were written."""
    told = TOLD[plate]
    (file,) = told["files"]
    record = read_record(HOME / file)
    start, judged = record.log.start, judged_exposure(record)
    assert record.problems == () and start is not None and isinstance(judged, JudgedPlate)
    assert {
        name: told[name] for name in ("scene", "proposed", "camera", "holder", "bottle_ids", "given")
    } == {
        "scene": msgspec.to_builtins(record.scene),
        "proposed": msgspec.to_builtins(start.proposed),
        "camera": start.camera,
        "holder": start.holder,
        "bottle_ids": start.bottle_ids,
        "given": judged.given,
    }


@pytest.mark.parametrize("plate", sorted(TOLD))
def test_its_lines_are_written_again_with_the_same_bytes(plate: str) -> None:
    """Every line is written byte for byte as it was; a start may get new members, all empty."""
    log = read_record(HOME / TOLD[plate]["files"][0]).log
    assert log.start is not None
    assert set(not_the_same_bytes(log)) <= {log.start.n}
    before, now = json.loads(log.frames[log.start.n]), json.loads(encode(log.start))
    assert [name for name in now if name not in before and now[name] is not None] == []
    assert {name: now[name] for name in before if name != "sum"} == {
        name: value for name, value in before.items() if name != "sum"
    }


def test_every_journal_has_what_it_told() -> None:
    """The journals are exactly those that the file beside them names."""
    files = {str(path.relative_to(HOME)) for path in Path(HOME).rglob("*.jsonl")}
    assert {file for told in TOLD.values() for file in told["files"]} == files
