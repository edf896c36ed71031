"""A writer is killed between the line in the journal and the hint that it changed: the log is told truly."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path

import msgspec
import pytest

from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.query import Query
from darkroom.log.journal import frame
from darkroom.log.journal.plate_lines import READER
from darkroom.log.store import changes
from darkroom.screens.trends.screen import TrendsScreen
from tests.kit.catalogue import fresh
from tests.kit.log_commands import Capture, listed, run_log
from tests.kit.review_hand import Looker, looking

pytestmark = pytest.mark.usefixtures("settled")

NEW, DAY = "20270301-080000-aaaaaa", "2027-03-01"
KILLED = """
import os, signal, sys
from pathlib import Path
from darkroom.log.store import changes

changes.add = lambda *_: os.kill(os.getpid(), signal.SIGKILL)
home, what = Path(sys.argv[1]), sys.argv[2]
if what == "note":
    from darkroom.cli import main

    main(["log", "note", sys.argv[3], "seen all the same"])
else:
    from darkroom.log.journal.plate_lines import READER
    from darkroom.log.journal.write import JournalWriter

    lines = [READER.decode(line) for line in sys.stdin.buffer]
    writer = JournalWriter(home, lambda report: None)
    writer.write(sys.argv[3], sys.argv[4], lines)
    writer.close(60.0)
"""


def killed(home: Path, *words: str, lines: bytes = b"") -> None:
    """Run a writer that is killed as soon as its lines are saved, before it names the journal."""
    before = (home / changes.NAME).read_bytes() if (home / changes.NAME).exists() else None
    done = subprocess.run([sys.executable, "-c", KILLED, str(home), *words], input=lines, check=False)
    assert done.returncode == -signal.SIGKILL
    after = (home / changes.NAME).read_bytes() if (home / changes.NAME).exists() else None
    assert after == before


def as_new(path: Path) -> bytes:
    """Return the lines of a journal as those of the plate NEW with the number 999."""
    first, *others = map(READER.decode, path.read_bytes().splitlines(keepends=True))
    start = msgspec.structs.replace(first, plate=NEW, number=999)
    return b"".join(map(frame.encode, [start, *others]))


@pytest.mark.parametrize("is_known", [True, False])
def test_every_command_sees_what_was_saved(
    home: Path, plates: list[Path], capsys: Capture, is_known: bool
) -> None:
    """The new plate and the note are listed, found and shown; the index equals one that is made anew."""
    if is_known:
        listed(capsys)
    killed(home, "note", plates[3].stem)
    killed(home, "plate", NEW, DAY, lines=as_new(plates[5]))
    assert [plate["plate"] for plate in listed(capsys, "seen all the same")] == [plates[3].stem]
    assert listed(capsys)[0]["plate"] == NEW
    assert len(listed(capsys)) == len(plates) + 1
    assert run_log(capsys, "show", "999")[0] == 0
    assert run_log(capsys, "check")[2].startswith(f"{len(plates) + 1} plates read, no problem")
    with Catalogue(home) as catalogue:
        assert catalogue.content() == fresh(home)


def test_the_page_of_plates_sees_what_was_saved(home: Path, plates: list[Path], capsys: Capture) -> None:
    """The list on the full screen has the new plate on top and finds the note."""
    listed(capsys)
    killed(home, "note", plates[3].stem)
    killed(home, "plate", NEW, DAY, lines=as_new(plates[5]))

    async def steps(hand: Looker) -> None:
        await hand.wait(lambda text: " 999 " in text and f"{len(plates) + 1}, newest first" in text)
        await hand.type("seen all the same")
        await hand.wait(lambda text: f"1 of {len(plates) + 1}" in text)

    looking(home, steps)


def test_the_page_of_trends_is_of_what_was_saved(home: Path, plates: list[Path], capsys: Capture) -> None:
    """When the page tells its first trend, the index has the lines that no hint told of."""
    listed(capsys)
    killed(home, "note", plates[3].stem)

    async def steps(hand: Looker) -> None:
        await hand.wait("to the bench")
        hand.tool.push_screen(TrendsScreen(Query()))
        await hand.wait(lambda text: text.startswith("1 of"))
        with Catalogue(home) as catalogue:
            assert [row["plate"] for row in catalogue.plates(Query(words="seen all the same"))] == [
                plates[3].stem
            ]

    looking(home, steps, text=None)
