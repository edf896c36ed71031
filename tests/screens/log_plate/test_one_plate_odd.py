"""The page of a plate whose journal is odd: spoilt, half lost, or full of values that nobody would expect."""

from __future__ import annotations

import json
import random
import zlib
from pathlib import Path
from typing import Any

import msgspec

from darkroom.bench import events as ev
from darkroom.log.plate.moved_strikes import strikes
from darkroom.log.plate.record import read_record
from darkroom.log.review.judgement import standing
from darkroom.screens.judging.fields import fields_of, judgement_of
from darkroom.screens.judging.screen import page as form_page
from darkroom.screens.log_plate.screen import page
from darkroom.screens.widgets.form import Form
from darkroom.screens.widgets.rows import width
from tests.kit.plates import forgotten, judged, put, texts, told

ODD: tuple[Any, ...] = (
    None,
    0,
    -1,
    1e9,
    1e300,
    -1e300,
    5e-324,
    "",
    "x" * 50,
    "\u202e",
    [],
    {},
    True,
    2**63,
    -0.0,
)


def framed(members: dict[str, Any]) -> bytes:
    """Return a line as someone would write it who knows the sum, and nothing else."""
    body = json.dumps(members, separators=(",", ":"))[:-1].encode()
    return body + b',"sum":"%08x"}\n' % zlib.crc32(body)


def spoilt(rng: random.Random, line: dict[str, Any]) -> dict[str, Any]:
    """Return a line with one value, at any depth, replaced by an odd one."""
    line = json.loads(json.dumps(line))
    node: Any = line
    while node:
        place = rng.choice(list(node) if isinstance(node, dict) else range(len(node)))
        if isinstance(node[place], dict | list) and rng.random() < 0.8:
            node = node[place]
            continue
        if node is not line or place not in ("n", "event"):
            node[place] = rng.choice(ODD)
        break
    return line


def test_whatever_a_journal_says_there_is_a_page(tmp_path: Path) -> None:
    """Three hundred journals with right sums and senseless values: page, form, strikes are made of each."""
    rng = random.Random(11)
    path = put(tmp_path, judged(forgotten()))
    lines = [json.loads(line) for line in path.read_bytes().splitlines()]
    for line in lines:
        del line["sum"]
    for _ in range(300):
        path.write_bytes(
            b"".join(framed(spoilt(rng, line) if rng.random() < 0.1 else line) for line in lines)
        )
        record = read_record(path)
        for columns in (80, 30):
            for row in page(record, columns):
                assert sum(width(text) for text, _ in row) <= columns
        fields = fields_of(standing(record.log))
        judgement_of(fields)
        form = Form(fields.entries)
        for place in range(len(fields.entries)):
            form.go_to(place)
            form_page(form, 80, 20)
        strikes(record.log.events)


def test_stars_beyond_all_bounds_are_no_row_of_stars(tmp_path: Path) -> None:
    """Stars are 0 to 5: a journal that says more is shown with its number, and no more than five."""
    lines = judged(forgotten())
    lines.append(ev.Rating(n=lines[-1].n + 1, at=lines[-1].at, up=None, stars=2**63))
    text = texts(page(told(tmp_path, lines), 80))[0]
    assert text.startswith("judged     ***** 9223372036854775808 of 5 stars")


def test_problems_name_file_and_line(tmp_path: Path) -> None:
    """A line that a hand spoilt is told with its file and number, and all that is good still shown."""
    path = put(tmp_path, judged(forgotten()))
    lines = path.read_bytes().splitlines(True)
    lines[13] = lines[13].replace(b"a", b"b", 1)
    path.write_bytes(b"".join(lines))
    text = "".join(texts(page(read_record(path), 200)))
    assert f"{path}:14: the sum is not that of the line" in text
    assert "4 of 5 stars" in text


def test_a_plate_of_which_little_is_left_is_still_a_page(tmp_path: Path) -> None:
    """No first line, no stage, an empty file, no file at all: a page with what is known and what is wrong."""
    path = put(tmp_path, forgotten())
    whole = path.read_bytes()
    for data, phrase in (
        (b"".join(whole.splitlines(True)[1:]), "its first line is lost"),
        (whole[: whole.index(b"\n") + 1], "8 s"),
        (b"", "empty"),
        (b"\xff\x00\n", "not a line"),
    ):
        path.write_bytes(data)
        assert phrase in " ".join(texts(page(read_record(path), 80)))
    path.unlink()
    assert "PROBLEMS" in " ".join(texts(page(read_record(path), 80)))


def test_no_clock_is_too_odd_to_be_drawn(tmp_path: Path) -> None:
    """Clocks that went back, stand still, or leap thousands of years; a stage the process does not know."""
    rng = random.Random(7)
    lines = judged(forgotten())
    for _ in range(60):
        odd = list(lines)
        for _ in range(rng.randrange(1, 4)):
            at = rng.randrange(1, len(odd))
            line = odd[at]
            if line.up is not None:
                up = rng.choice((0.0, line.up - 4000, line.up + 1e9, 1e17, 5e-324, line.up))
                odd[at] = msgspec.structs.replace(line, up=up)
            if isinstance(odd[at], (ev.StageEnded, ev.StageStarted)) and rng.random() < 0.3:
                odd[at] = msgspec.structs.replace(odd[at], stage="zzz")
        for row in page(told(tmp_path, odd), 80):
            assert sum(width(text) for text, _ in row) <= 80
