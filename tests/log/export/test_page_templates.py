"""The templates of pages: every value is escaped and clean, none is missed, a page is written as it grows."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from jinja2 import UndefinedError
from markupsafe import Markup

from darkroom.log.export import html_report
from darkroom.log.export.html_report import report
from darkroom.log.export.page_templates import environment, page
from darkroom.log.export.sleeve_labels import labels
from darkroom.log.plate.record import PlateRecord, read_record
from tests.kit.exports import SCRIPT, hostile, shelve, worked

TEMPLATE_WORDS = "{{ 7 * 6 }} {% include 'page.html' %} {# gone #}"


def rendered(source: str, **values: object) -> str:
    """Return what a template makes of values."""
    return environment().from_string(source).render(**values)


def season_of(home: Path, number: int) -> list[Path]:
    """Put so many plates into a log; return their journals' paths."""
    return [shelve(home, worked(f"20260301-09{k:02}00-aaaaaa", k)) for k in range(number)]


def test_every_template_compiles() -> None:
    """Each template of the package is there and has no error of syntax."""
    names = environment().list_templates()
    assert names == ["faults.html", "labels.html", "page.html", "report.html"]
    for name in names:
        environment().get_template(name)


def test_a_value_is_escaped_in_text_and_in_attributes() -> None:
    """No sign of a value ends an element, an attribute or an entity."""
    escaped = "&lt;&gt;&amp;&#34;&#39;"
    assert rendered('<a b="{{ text }}">{{ text }}</a>', text="<>&\"'") == f'<a b="{escaped}">{escaped}</a>'


@pytest.mark.parametrize("source", ["{{ text }}", "{{ text|typed }}", "{{ text|plain }}"])
def test_forbidden_characters_are_replaced(source: str) -> None:
    """Control characters, lone surrogates and non-characters never reach a page."""
    shown = rendered(source, text="a\x00b\x1bc\x7fd\ud800e\ufffef")
    assert shown.replace("<bdi>", "").replace("</bdi>", "") == "a\ufffdb\ufffdc\ufffdd\ufffde\ufffdf"


def test_typed_text_is_set_apart_and_escaped_once() -> None:
    """The filter for typed text adds an element around it and nothing else."""
    assert rendered("{{ text|typed }}", text="a & <b>") == "<bdi>a &amp; &lt;b&gt;</bdi>"


def test_only_markup_goes_in_as_it_is() -> None:
    """A drawing keeps its elements; an object that calls itself HTML is escaped like any text."""

    class CallsItselfHtml:
        def __html__(self) -> str:
            return SCRIPT

        def __str__(self) -> str:
            return SCRIPT

    assert rendered("{{ drawing }}", drawing=Markup("<svg/>")) == "<svg/>"
    assert "<script" not in rendered("{{ value }} {{ value|typed }}", value=CallsItselfHtml())


def test_a_value_that_is_missing_is_an_error() -> None:
    """A template that asks for what it is not given leaves no silent gap."""
    with pytest.raises(UndefinedError):
        b"".join(page("labels.html", "labels.css", title="Plates"))


@pytest.mark.parametrize("make", [report, labels])
def test_words_that_look_like_a_template_are_words(home: Path, make) -> None:
    """What was typed is a value, and never read as a template."""
    record = read_record(shelve(home, hostile(words=TEMPLATE_WORDS)))
    text = b"".join(make([record], TEMPLATE_WORDS)).decode()
    assert "{{ 7 * 6 }} {% include &#39;page.html&#39; %} {# gone #}" in text
    assert text.count("<!DOCTYPE") == 1


def test_labels_are_written_while_the_plates_are_read(home: Path) -> None:
    """The first label is handed on before the second plate is read."""
    paths = season_of(home, 5)
    paths_read: list[Path] = []

    def plates() -> Iterator[PlateRecord]:
        for path in paths:
            paths_read.append(path)
            yield read_record(path)

    pieces = labels(plates(), "Plates")
    assert any(b"</article>" in piece for piece in pieces)
    assert paths_read == paths[:1]


def test_a_report_that_waits_on_the_disk_is_the_same(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whether the sections wait in memory or on the disk, the page is one; no piece holds all of it."""
    paths = season_of(home, 12)
    in_memory = list(report(map(read_record, paths), "Plates"))
    monkeypatch.setattr(html_report, "IN_MEMORY", 1)
    on_disk = list(report(map(read_record, paths), "Plates"))
    assert b"".join(on_disk) == b"".join(in_memory)
    assert max(map(len, on_disk)) < sum(map(len, on_disk)) / 2


def test_the_list_of_formats_loads_no_template_library() -> None:
    """Until a page is written Jinja2 is not imported: neither the command line nor the formats need it."""
    code = (
        "import sys, darkroom.cli, darkroom.commands.log.export, darkroom.log.export.write_export\n"
        "print(*({'jinja2', 'markupsafe'} & set(sys.modules)))"
    )
    answer = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert answer.stdout.strip() == ""
