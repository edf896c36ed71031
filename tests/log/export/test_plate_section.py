"""The section of a plate, put together by hand, against what the templates make of the same values."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from darkroom.log.export import selection
from darkroom.log.export.page_templates import SHORT, environment, told, typed_text
from darkroom.log.export.pictures import Pictures
from darkroom.log.export.plate_section import section
from darkroom.log.plate.account import StageAccount
from darkroom.log.plate.account_lines import AccountLine
from darkroom.log.plate.axis import Axis
from darkroom.log.plate.record import PlateRecord, read_record
from tests.kit.exports import EVIL, FIRST, WORDS, hostile, shelve, worked

TEXTS = ("", "plain", "a & <b> \"c\" 'd'", WORDS, "x" * (SHORT + 1) + "<&>", "⫽ \u202e turned")


@pytest.mark.parametrize("text", TEXTS)
def test_words_are_escaped_as_in_a_template(text: str) -> None:
    """`told` and `typed_text` give to the sign what a template gives, for short and long words."""
    shared = environment()
    assert told(text) == shared.from_string("{{ text }}").render(text=text)
    assert typed_text(text) == shared.from_string("{{ text|typed }}").render(text=text)


def _all_words_hostile(record: PlateRecord) -> PlateRecord:
    """Return a record whose account has hostile words wherever it has words of a file."""
    words = "<i>&\"'"
    stage = StageAccount(
        stage=words, started=words, seconds=1.0, planned=None, usual=None, how="strike", source=words,
        celsius=20.0, origin=words, cleared=None, exposed=None, strips=None,
    )  # fmt: skip
    line = AccountLine(1, words, words)
    account = msgspec.structs.replace(
        record.account,
        stages=(stage,), now=words, exposure=words, trouble=words,
        readings=(line,), moments=(line,), taken_back=(line,), words=(line,), newer=(line,),
    )  # fmt: skip
    judged = msgspec.structs.replace(record.judged, details=((words, words), ("picture", words)))
    return msgspec.structs.replace(record, account=account, judged=judged, state=None)


def test_no_word_of_a_file_is_markup(home: Path) -> None:
    """Stages, sources, times, troubles, lines, details and pictures: no word of them makes an element."""
    record = _all_words_hostile(read_record(shelve(home, hostile())))
    page = section(record, Pictures(home))
    assert "<i>" not in page and "<script" not in page
    assert page.count("&lt;i&gt;&amp;&#34;&#39;") > 20


def test_a_section_names_its_plate(home: Path) -> None:
    """A section begins with its own id and ends with its element, each on a line."""
    first, evil = (read_record(shelve(home, events)) for events in (worked(), hostile()))
    assert section(first, None).startswith(f'<section class="plate" id="p{FIRST}">\n<h2>Plate 12: ')
    assert section(evil, None).startswith(f'<section class="plate" id="p{EVIL}">\n')
    assert section(first, None).endswith("</ul>\n</section>\n")


def test_few_plates_are_read_ahead(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Before a plate is worked on no more than `AHEAD` are read, whatever the size of the log."""
    paths = [shelve(home, worked(f"20260301-09{k:02}00-aaaaaa", k)) for k in range(5)]
    read: list[Path] = []

    def reading(path: Path, folder_cache: object) -> PlateRecord:
        read.append(path)
        return read_record(path)

    monkeypatch.setattr(selection, "AHEAD", 2)
    monkeypatch.setattr(selection, "read_record", reading)
    steps: list[tuple[int, int]] = []
    chosen = selection.Selection(paths, progress=lambda _: lambda done, total: steps.append((done, total)))
    at_each = [(record.log.path, len(read)) for record in chosen]
    assert at_each == list(zip(paths, (2, 2, 4, 4, 5), strict=True))
    assert steps == [(done, 5) for done in range(1, 6)]


def test_places_kept_from_the_start_are_those_worked_out() -> None:
    """The ends of stages, kept when an axis is made, stand where any other instant there would."""
    at = [0.1, 12.7, 63.25, 63.25 + 4000.4, 5000.3, 5123.123, 5987.456]
    axis = Axis(at, 120.0, 830.0)
    kept = [axis.x(instant) for instant in at]
    assert kept == [axis._place(instant) for instant in at]
