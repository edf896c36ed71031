"""The bottles of a plate in words and in exports, also those chosen after it began."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import msgspec

from darkroom.bench import events as ev
from darkroom.commands.log.account_text import account_text_lines
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.query import Query
from darkroom.log.export.json_lines import whole
from darkroom.log.export.parquet_columns import PLATES
from darkroom.log.export.registry import FORMATS, Wanted
from darkroom.log.plate import bottle_text
from darkroom.log.plate.record import PlateRecord, read_record
from tests.kit.bench import Hand
from tests.kit.plates import PLATE, put

CHANGED = {"bottle_ids": {"developer": "d2", "collodion": "c9"}, "bottles": {"developer": "D-8"}}


def record(home: Path, **change: Any) -> PlateRecord:
    """Return a washed plate whose developer was changed while it drained."""
    hand = Hand(
        bottle_ids={"collodion": "c1", "developer": "d1"},
        bottles={"collodion": "C-4", "developer": "D-7", "toner": "T"},
    )
    hand.to_stage("wash")
    lines = [
        msgspec.structs.replace(line, **(change or CHANGED))
        if isinstance(line, ev.StageStarted) and line.stage == "develop"
        else line
        for line in hand.lines["p1"]
    ]
    return read_record(put(home, [msgspec.structs.replace(lines[0], plate=PLATE), *lines[1:]]))  # type: ignore[call-arg]


def exported(name: str, plate: PlateRecord) -> str:
    """Return an export of one plate as text."""
    form = FORMATS[name]
    if form.one_plate is not None:
        return form.one_plate(plate)[1].decode()
    assert form.one_file is not None
    return b"".join(form.one_file([plate], Wanted())).decode("utf-8-sig")


def test_each_bottle_is_that_of_the_stage_that_uses_it(home: Path) -> None:
    """The new developer is named, and the collodion is the one that was poured before the change."""
    plate = record(home)
    assert bottle_text.names_text(plate) == "collodion C-4, developer D-8, toner T"
    assert bottle_text.ids_text(plate) == "collodion c1, developer d2"
    text = "\n".join(account_text_lines(plate))
    assert "collodion C-4, developer D-8, toner T" in text
    assert "collodion c1, developer d2" in text


def test_a_bottle_without_a_name_is_called_by_its_id(home: Path) -> None:
    """The old name would be another bottle's; a second fixer is called so."""
    plate = record(home, bottle_ids={"developer": "d3", "fixer_2": "f2"})
    assert bottle_text.names_text(plate) == "collodion C-4, developer d3, toner T, second fixer f2"


def test_the_exports_carry_names_and_ids(home: Path) -> None:
    """JSON lines have them by role, tables in a column each; page, label and sidecar name them."""
    plate = record(home)
    told = json.loads(msgspec.json.encode(whole(plate)))
    assert told["bottles"] == {"collodion": "C-4", "developer": "D-8", "toner": "T"}
    assert told["bottle_ids"] == {"collodion": "c1", "developer": "d2"}
    started = next(line for line in told["events"] if line.get("bottle_ids") == CHANGED["bottle_ids"])
    assert started["event"] == "stage_started"
    written = {name: exported(name, plate) for name, form in FORMATS.items() if form.one_folder is None}
    (row,) = csv.DictReader(io.StringIO(written["csv"]))
    assert row["bottles"] == "collodion: C-4; developer: D-8; toner: T"
    assert row["bottle ids"] == "collodion: c1; developer: d2"
    by_key = {column.key: column.value(plate) for column in PLATES}
    assert by_key["bottles"] == [("collodion", "C-4"), ("developer", "D-8"), ("toner", "T")]
    assert by_key["bottle_ids"] == [("collodion", "c1"), ("developer", "d2")]
    for name in ("html", "labels", "xmp"):
        assert "developer D-8" in written[name], name
    assert "developer d2" in written["html"]


def test_the_log_finds_a_plate_by_the_name_of_a_bottle(home: Path) -> None:
    """A search for the developer's name finds the plates that it developed."""
    record(home)
    with Catalogue(home) as catalogue:
        catalogue.check()
        assert catalogue.count(Query(words="d-8")) == 1
        assert catalogue.count(Query(words="d-7")) == 0
