"""What the front door sets right: printing that no terminal obeys, the time zone, the mask, the locale."""

from __future__ import annotations

import io
import json
import os
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from darkroom import surroundings
from darkroom.errors import DarkroomError
from tests.kit.bounded_run import run
from tests.kit.exports import FIRST, worked
from tests.kit.odd_files import ESCAPES
from tests.kit.odd_home import environment
from tests.kit.odd_places import PLACES, UNUSABLE, open_to_others, surrounded
from tests.kit.odd_words import LOCALES, WORDS
from tests.kit.plates import put

TOOL = [sys.executable, "-m", "darkroom"]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder with one plate in its log."""
    for name in ("home", "state", "tmp", "user", "here"):
        (tmp_path / name).mkdir(mode=0o700)
    put(tmp_path / "home", worked())
    return tmp_path


@pytest.fixture
def zone() -> Iterator[None]:
    """Give the time zone back."""
    before = os.environ.get("TZ")
    yield
    os.environ.pop("TZ", None)
    if before is not None:
        os.environ["TZ"] = before
    time.tzset()
    surroundings.remarks.clear()


def test_printing_is_harmless() -> None:
    """A control character, a sign that turns the writing and half a pair are written as question marks."""
    raw = io.BytesIO()
    stream = surroundings.HarmlessText(raw, encoding="latin-1", errors="replace", write_through=True)
    for text in (ESCAPES, "caf\udce9\n", "é\t\x9b", "Ω", "\rreading", "a\rb"):
        print(text, end="|", file=stream)
    assert raw.getvalue() == b"?]0;taken over??[2J?gnp?|caf?\n|\xe9\t?|?|\rreading|a?b|"


def test_a_long_list_is_printed_without_a_look_at_each_sign() -> None:
    """What is harmless on every line goes out as it is: nothing of ours is called for one of its signs."""
    stream = surroundings.HarmlessText(io.BytesIO(), encoding="utf-8")
    calls: list[str] = []
    sys.setprofile(lambda frame, event, _: calls.append(frame.f_code.co_name) if event == "call" else None)
    try:
        stream.write("a line\twith é\n" * 1000)
    finally:
        sys.setprofile(None)
    assert len(calls) < 10


def test_an_error_is_harmless_wherever_it_is_shown() -> None:
    """The text of every error of ours has no character that a terminal obeys, on all of its lines."""
    assert (
        str(DarkroomError(f"no file {ESCAPES}\nat all \udcff"))
        == "no file ?]0;taken over??[2J?gnp?\nat all ?"
    )


@pytest.mark.parametrize(
    ("name", "wrong"), [("UTC-99", True), ("UTC+24", True), ("CET-1CEST", False), ("", False)]
)
def test_an_impossible_time_zone_is_utc(zone: None, name: str, wrong: bool) -> None:
    """A zone a day or more away from UTC cannot be written in a date: UTC holds, and it is told."""
    os.environ["TZ"] = name
    time.tzset()
    surroundings.remarks.clear()
    surroundings.set_time_zone()
    assert bool(surroundings.remarks) is wrong
    assert (os.environ["TZ"] == "UTC0") is wrong


@pytest.mark.parametrize("mask", [0o000, 0o777])
def test_all_that_is_made_is_its_users_alone(folder: Path, mask: int) -> None:
    """Folders are 0700 and files 0600 whatever the mask is; an export follows the mask."""
    for words in (["day", "--note", "x"], ["log", "note", FIRST, "seen"], ["log", "list"]):
        assert run([*TOOL, *words], environment(folder), mask=mask).status == 0
    (folder / "home" / "plates").chmod(0o700)  # what the test itself has made
    for path in (folder / "home" / "plates").rglob("*"):
        path.chmod(0o700 if path.is_dir() else 0o600)
    assert [open_to_others(folder / name) for name in ("home", "state", "tmp")] == [[], [], []]
    to = str(folder / "out.csv")
    assert (
        run([*TOOL, "log", "export", "csv", "--all", "--to", to], environment(folder), mask=mask).status == 0
    )
    assert Path(to).stat().st_mode & 0o777 == 0o600 | 0o666 & ~mask


@pytest.mark.parametrize("locale", ["utf-8", "plain C", "strict ascii"])
def test_undecodable_words_are_stored_as_text(folder: Path, locale: str) -> None:
    """What is no UTF-8 is replaced, in every locale; what is UTF-8 is stored as it was typed."""
    env = environment(folder) | LOCALES[locale]
    for word in (WORDS["latin 1"], WORDS["utf-8"]):
        assert (
            run([*(part.encode() for part in TOOL), b"log", b"note", FIRST.encode(), word], env).status == 0
        )
        assert run([*(part.encode() for part in TOOL), b"log", b"list", word], env).wrong() is None
    (journal,) = (folder / "home" / "plates").rglob("*.jsonl")
    notes = [
        line["text"] for line in map(json.loads, journal.read_text("utf-8").splitlines()) if "text" in line
    ]
    assert notes[-2:] == ["caf\ufffd", "Krug für Öl 20 °C"]


def test_a_journal_of_any_name_is_listed_and_exported(folder: Path) -> None:
    """Copies of a journal under names that are no text, or that a terminal obeys, end no command."""
    (journal,) = (folder / "home" / "plates").rglob("*.jsonl")
    for name in ("caf\udce9", ESCAPES, "-rf", " "):
        journal.with_name(f"{name}.jsonl").write_bytes(journal.read_bytes())
    for words in (["log", "list"], ["log", "list", "--json"], ["log", "check"], ["log", "trends"]):
        assert run([*TOOL, *words], environment(folder)).wrong() is None
    to = str(folder / "out.jsonl")
    assert run([*TOOL, "log", "export", "jsonl", "--all", "--to", to], environment(folder)).status == 0
    ids = [json.loads(line)["plate"] for line in Path(to).read_text("utf-8").splitlines()]
    assert len(ids) == 5 and FIRST in ids


def test_a_process_file_keeps_the_bytes_of_its_name(folder: Path) -> None:
    """A path need not be text: the file is found, and its name is shown harmless."""
    path = os.fsencode(folder) + b"/caf\xe9\x1b[2J.yaml"
    Path(os.fsdecode(path)).write_text("name: x\n")
    done = run([*(part.encode() for part in TOOL), b"process", b"check", path], environment(folder))
    assert done.status == 1 and "the key 'stages' is missing" in done.text
    assert done.wrong() is None


@pytest.mark.parametrize("place", sorted(UNUSABLE))
def test_a_log_that_can_be_nowhere_is_said(folder: Path, place: str) -> None:
    """A file, a device, an unknown user or a path too long as the log's folder: one line, exit status 2."""
    done = run([*TOOL, "log", "list"], surrounded(environment(folder), PLACES[place], folder))
    assert (done.status, done.out, done.wrong()) == (2, b"", None)
    assert len(done.text.splitlines()) == 1


def test_a_path_that_is_not_absolute_is_no_folder_of_xdg(folder: Path) -> None:
    """A relative path in XDG's variables is passed over: the log does not lie where the tool was started."""
    env = surrounded(environment(folder), PLACES["relative XDG"], folder)
    assert run([*TOOL, "day", "--note", "x"], env, cwd=folder / "here").status == 0
    assert not list((folder / "here").iterdir())
    assert list((folder / "user/.local/share/darkroom/days").iterdir())
