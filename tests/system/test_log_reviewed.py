"""The log afterwards: a season of plates and one more, reviewed by keys and exported to other programs.

`DARKROOM_SEASON` sets how many plates of the season there are; a log may hold 100,000.
"""

from __future__ import annotations

import csv
import html.parser
import json
import re
import shutil
import subprocess
import time
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from tests.kit import season
from tests.kit.audit import audit
from tests.kit.exports import shelve
from tests.kit.nightly import size
from tests.kit.photographer import ARGV, Photographer, journal, run
from tests.kit.plates import unvarnished

PLATES = size("DARKROOM_SEASON", 600, 20_000)
PATIENCE = 60.0 if PLATES < 10_000 else 600.0


DAY = "2026-11-20"
"""The day of the plate that is reviewed: after the season's last."""
pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("reviewed")]  # all of them read one log


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A log with a season of plates and one plate after it."""
    where = tmp_path_factory.mktemp("reviewed") / "home"
    season.write(where, PLATES, seed=11)
    shelve(where, unvarnished(DAY, "Jug and pear"), DAY)
    return where


class Reader(Photographer):
    """Sits down dry and looks back: keys come as fast as the screen follows."""

    def look(self, *words: str) -> None:
        """Open the log and wait until all of it is read."""
        self.terminal.spawn([*ARGV, "log", "look", *words])
        self.wait(lambda screen: "newest first" in screen and "reading the log" not in screen, PATIENCE)

    def type(self, *keys: str) -> None:
        """Type keys or words, one after the other."""
        for key in keys:
            self.terminal.send(key)
            time.sleep(0.03)

    def gone(self, text: str) -> None:
        """Wait until the screen has the text no more."""
        self.wait(lambda screen: text not in screen)


def test_the_log_is_reviewed_by_keys(home: Path) -> None:
    """List, filter, page, judging, home's advice, comparison, trends, a jump: each cell red; then by day."""
    total = f"{PLATES + 1:,}"
    hand = Reader(home, 80, 24)
    with hand.terminal:
        hand.look()
        hand.wait(f"{total}, newest first")
        first = hand.terminal.whole_screen().splitlines()[3]
        assert "Jug and pear" in first and "unvarnished" in first
        hand.type("enter")
        hand.wait("Jug and pear")
        hand.wait(lambda page: all(word in page for word in ("sensitise", "expose", "█", "strikes")))
        hand.type("j")
        hand.wait("JUDGE PLATE 1")
        hand.type("4")
        hand.wait("4 of 5")
        hand.type("down", "+", "1", "/", "2")
        hand.type("down", "down", "down", *"pour slower")
        hand.type("enter")
        hand.wait("pour slower")
        hand.wait("4 of 5 stars")
        hand.type("escape")
        hand.wait(lambda screen: "****" in screen.splitlines()[3])
        hand.type(*"stars:5 process:tintype")
        hand.wait(f" of {total}, newest first")
        hand.wait(lambda screen: all("*****" in row for row in screen.splitlines()[3:8]))
        hand.type("f5", "down", "f5")
        hand.wait("SIDE BY SIDE")
        hand.type("escape")
        hand.wait("find")
        hand.type("escape")
        hand.wait(f"{total}, newest first")
        hand.type("f4")
        hand.wait("1 of ", PATIENCE)
        hand.wait("┤")
        hand.type("right", "right", "escape")
        hand.wait("find")
        hand.type("f7")
        hand.wait("Jump to a day")
        hand.type(*"2026-05-20", "enter")
        hand.wait("20 May 2026")
        hand.type("end")
        hand.wait(lambda screen: re.search(r"^.{11,12} +\d\d:\d\d +1 ", screen, re.MULTILINE) is not None)
        hand.type("escape")
        hand.wait("to the bench")  # home, with what the last plate of this process said
        hand.wait("from plate 1: pour slower, half a stop more")
        hand.type("f2")
        hand.wait(f"{total}, newest first")
        hand.terminal.settle(0.2, 2)
        assert audit(hand.terminal.data) == []
        hand.type("f9")
        hand.wait("F9 red")
        hand.terminal.settle(0.2, 2)
        assert hand.terminal.cells()[10][0].background == "ffffff"
        seen = len(hand.terminal.data)
        hand.type("f9")
        hand.wait("F9 day")
        hand.terminal.settle(0.2, 2)
        hand.type("down", "down", "enter")
        hand.wait("sensitise")
        hand.terminal.kill(15)
        hand.terminal.wait()
        red = hand.terminal.data[hand.terminal.data.index(b"\x1b]11;rgb:00/00/00", seen) :]
        assert audit(red) == []
    lines = journal(home)
    real = next(plate for plate in lines if plate[0].get("subject") == "Jug and pear")
    said = [line for line in real if line["event"] in ("rating", "detail")]
    assert said[0]["stars"] == 4 and said[0]["exposure_stops"] == 0.5
    assert {"key": "next", "value": "pour slower"}.items() <= said[-1].items()


def test_a_hand_that_reads_by_filters_gets_what_the_command_line_gets(home: Path) -> None:
    """The same question on the screen and to `log list` has the same answer."""
    asked = "process:negative bath:18..20 stars:3.."
    hand = Reader(home, 80, 24)
    with hand.terminal:
        hand.look(*asked.split())
        count = re.search(r"([\d,]+) of", hand.terminal.whole_screen())
        assert count is not None
        hand.terminal.kill(15)
        hand.terminal.wait()
    found = run(home, "log", "list", "--json", "--process", "negative", "--temperature", "bath=18C..20C",
                "--stars", "3..5")  # fmt: skip
    assert len(json.loads(found.stdout)) == int(count[1].replace(",", "")) > 0


class _Page(html.parser.HTMLParser):
    """Counts what an HTML page is made of, by Python's own parser."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: dict[str, int] = {}
        self.outside: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Count a tag; keep every address that leads elsewhere."""
        self.tags[tag] = self.tags.get(tag, 0) + 1
        self.outside += [value for name, value in attrs if name in ("src", "href") and value
                         and not value.startswith(("#", "data:"))]  # fmt: skip


def test_every_export_is_read_by_a_program_that_is_not_ours(home: Path, tmp_path: Path) -> None:
    """CSV, JSON Lines, HTML, XMP and labels, each read back by another program, agree with the journals."""
    duckdb = pytest.importorskip("duckdb", reason="DuckDB reads the tables")
    for form, name in (("csv", "all.csv"), ("jsonl", "all.jsonl")):
        made = run(home, "log", "export", form, "--all", "--to", str(tmp_path / name))
        assert made.returncode == 0, made.stderr
    rows = run(
        home, "log", "export", "csv", "--all", "--rows", "stages", "--to", str(tmp_path / "stages.csv")
    )
    assert rows.returncode == 0, rows.stderr
    journals = len(list(home.glob("plates/*/*/*.jsonl")))
    with (tmp_path / "all.csv").open(encoding="utf-8", newline="") as file:
        assert sum(1 for _ in csv.DictReader(file)) == journals == PLATES + 1
    asked = "SELECT count(*), count(DISTINCT plate) FROM read_csv(?, header = true, all_varchar = true)"
    assert duckdb.execute(asked, [str(tmp_path / "all.csv")]).fetchone() == (journals, journals)
    ended = duckdb.execute(
        "SELECT count(*) FROM read_json(?, format = 'newline_delimited', columns = {'event': 'VARCHAR'}) "
        "WHERE event = 'stage_ended'", [str(home / "plates/*/*/*.jsonl")],
    ).fetchone()  # fmt: skip
    stages = duckdb.execute("SELECT count(*) FROM read_csv(?, header = true, all_varchar = true)",
                            [str(tmp_path / "stages.csv")]).fetchone()  # fmt: skip
    assert stages == ended
    if shutil.which("jq"):
        counted = subprocess.run(["jq", "-c", "-s", "length", str(tmp_path / "all.jsonl")], check=True,
                                 capture_output=True, text=True)  # fmt: skip
        assert int(counted.stdout) == journals
    day = run(home, "log", "export", "html", "--find", "on:2026-05-20", "--to", str(tmp_path / "day.html"))
    assert day.returncode == 0, day.stderr
    page = _Page()
    text = (tmp_path / "day.html").read_text(encoding="utf-8")
    page.feed(text)
    of_day = len(list(home.glob("plates/2026/2026-05-20/*.jsonl")))
    assert page.outside == [] and "script" not in page.tags and page.tags["svg"] >= of_day > 0
    for drawing in re.findall(r"<svg.*?</svg>", text, re.DOTALL):
        ET.fromstring(drawing)
    labels = run(
        home, "log", "export", "labels", "--find", "on:2026-05-20", "--to", str(tmp_path / "labels.html")
    )
    assert labels.returncode == 0, labels.stderr
    _Page().feed((tmp_path / "labels.html").read_text(encoding="utf-8"))
    if shutil.which("exiftool"):
        (tmp_path / "xmp").mkdir()
        real = next(plate for plate in journal(home) if plate[0].get("subject") == "Jug and pear")
        made = run(home, "log", "export", "xmp", real[0]["plate"], "--to", str(tmp_path / "xmp"))
        assert made.returncode == 0, made.stderr
        told = subprocess.run(["exiftool", "-j", str(next((tmp_path / "xmp").iterdir()))], check=True,
                              capture_output=True, text=True)  # fmt: skip
        said = json.loads(told.stdout)[0]
        assert float(said["ExposureTime"]) == pytest.approx(2.0)
        assert "Jug and pear" in json.dumps(said)


def test_the_commands_work_on_the_same_log(home: Path) -> None:
    """check finds nothing wrong, trends tell, compare tells, and the index may be deleted at any time."""
    assert run(home, "log", "check").returncode == 0
    assert "over the temperature" in run(home, "log", "trends", "--stage", "develop").stdout
    listed = json.loads(run(home, "log", "list", "--json").stdout)
    assert run(home, "log", "compare", listed[1]["plate"], listed[2]["plate"]).stdout
    for path in home.glob("catalogue.sqlite*"):
        path.unlink()
    assert len(json.loads(run(home, "log", "list", "--json").stdout)) == PLATES + 1
