"""Damaged journals and any words at all: every export is made, and is well formed."""

from __future__ import annotations

import csv
import io
import json
import random
from pathlib import Path
from xml.etree import ElementTree as xml

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from darkroom.log.export import csv_tables, html_report, json_lines, sleeve_labels, xmp_sidecars
from darkroom.log.export.page_templates import environment
from darkroom.log.journal import frame
from darkroom.log.plate.record import PlateRecord, read_record
from darkroom.process.text.plain_text import legal, plain
from tests.kit.exports import FIRST, hostile, shelve, worked
from tests.kit.nightly import examples

quick = settings(max_examples=examples(40), suppress_health_check=[HealthCheck.function_scoped_fixture])


def every_export(record: PlateRecord) -> None:
    """Make every export of a plate and read each back."""
    for rows in ("plates", "stages"):
        text = b"".join(csv_tables.table([record], rows)).decode("utf-8")  # type: ignore[arg-type]
        table = list(csv.reader(io.StringIO(text, newline=""), strict=True))
        assert len({len(row) for row in table}) == 1
        for line in b"".join(json_lines.lines([record], rows)).splitlines():  # type: ignore[arg-type]
            json.loads(line)
    xml.fromstring(xmp_sidecars.sidecar(record))
    for page in (html_report.report([record], "A plate"), sleeve_labels.labels([record], "A plate")):
        text = b"".join(page).decode("utf-8")
        body = text[text.index("<body>") : text.index("</body>") + 7]
        xml.fromstring(body)  # the body has no void elements: it is well-formed XML too


@pytest.mark.parametrize("data", [b"", b"\n", b"rubbish", b"\x00\xff" * 500, b"{}\n", b'{"n":1'])
def test_a_journal_of_rubbish_is_exported(home: Path, data: bytes) -> None:
    """Nothing good in it: the plate is named, its problem is told, no export fails."""
    path = shelve(home, worked())
    path.write_bytes(data)
    record = read_record(path)
    every_export(record)
    assert record.problems
    assert FIRST in b"".join(html_report.report([record], "A plate")).decode()


@quick
@given(st.sets(st.integers(1, 40), max_size=30))
def test_any_lines_may_be_lost(home: Path, lost: set[int]) -> None:
    """Whichever lines are missing, what is left is exported in every form."""
    path = shelve(home, worked())
    path.write_bytes(b"".join(frame.encode(line) for line in worked() if line.n not in lost))
    every_export(read_record(path))


@quick
@given(st.integers(0, 2**32))
def test_damaged_bytes_are_survived(home: Path, seed: int) -> None:
    """Bytes turned at random places: every export is made of what is good."""
    rng = random.Random(seed)
    path = shelve(home, hostile())
    data = bytearray(path.read_bytes())
    for _ in range(rng.randrange(1, 20)):
        data[rng.randrange(len(data))] = rng.randrange(256)
    path.write_bytes(data)
    every_export(read_record(path))


@quick
@given(st.text(st.characters(exclude_categories=("Cs",)), max_size=60))
def test_any_words_are_exported(home: Path, words: str) -> None:
    """Whatever is typed, every export is well formed."""
    every_export(read_record(shelve(home, hostile(words=words))))


@given(st.text(max_size=60))
def test_escaped_text_is_read_as_it_was(text: str) -> None:
    """A reader of XML gets back what was typed, in text and attribute, forbidden signs replaced."""
    template = environment().from_string('<a b="{{ text }}">{{ text }}</a>')
    element = xml.fromstring(template.render(text=text))
    assert (element.text or "") == legal(text)
    normal = legal(text).replace("\n", " ").replace("\t", " ")  # XML 1.0, 3.3.3: attribute values
    assert element.get("b") == normal


def test_a_title_turns_no_direction() -> None:
    """A title is one line without signs that turn the direction of writing (Unicode UAX 9, 2.1 to 2.6)."""
    assert plain("a\u202eb\u2066c\nd\x00") == "abc d\ufffd"
