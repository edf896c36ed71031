"""A run of forty plates: fog from plate 31 on is judged, explained, changed for, and its cause confirmed."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.kit.audit import audit
from tests.kit.fault_season import FAULT, FIRST_FOG, LAST_FOG, PLATES, day_of, shelve_plate
from tests.kit.form_hand import typed
from tests.kit.photographer import ARGV, Photographer, journal, run
from tests.kit.picture import save

pytestmark = [pytest.mark.system, pytest.mark.slow]

QUESTION = "Is the veil under the holder's edge too?"
WARM = "developer too warm"
SINCE = f"since plate {FIRST_FOG}: {FAULT}; "
GONE = f"gone since plate {LAST_FOG + 1}: "
FIRST_SURE = LAST_FOG + 4
"""The first plate that is made when the cause is confirmed."""
SIZES = ((80, 24), (120, 40))


class Looking:
    """A photographer who looks at the log with dry hands: a key, and what the screen must then tell."""

    def __init__(self, home: Path, columns: int, rows: int) -> None:
        self.hand = Photographer(home, columns, rows)
        self.terminal = self.hand.terminal

    def open_page(self, number: int) -> None:
        """Open the log and the page of a plate, found by the subject that its number is in."""
        self.terminal.spawn([*ARGV, "log", "look"])
        self.hand.wait(lambda screen: "newest first" in screen and "reading the log" not in screen)
        typed(self.hand, f"ferns {number}")
        self.hand.wait(lambda screen: re.search(r"\b1 of ", screen) is not None)
        self.key("enter", "sensitise")

    def key(self, key: str, then: str | Callable[[str], bool]) -> None:
        """Press a key and wait until the screen tells this."""
        self.terminal.send(key)
        self.hand.wait(then)

    def down_to(self, label: str) -> None:
        """Move down to a field of the form, each step seen before the next."""
        for _ in range(40):
            self.terminal.wait_until(lambda: self.row() is not None)
            y = self.row()
            assert y is not None
            if self.terminal.screen().splitlines()[y][2:].startswith(label):
                return
            self.terminal.send("down")
            self.terminal.wait_until(lambda: self.row() not in (None, y))  # noqa: B023
        raise AssertionError(f"no field {label!r}:\n{self.terminal.screen()}")

    def row(self) -> int | None:
        """Return the row of the field that the hand is in: its value begins on another ground."""
        for y, cells in enumerate(self.terminal.cells()[1:-3], 1):
            if any(cell.background != cells[0].background for cell in cells[12:16]):
                return y
        return None

    def read_all(self) -> str:
        """Read a page to its end; return its rows, of each screen those between title and keys."""
        self.terminal.settle()
        seen = [self.terminal.screen()]
        while self.page_down():
            seen.append(self.terminal.screen())
        # the last row but one says how much there is more, the last one the keys
        return "\n".join(row for screen in seen for row in screen.splitlines()[1:-2])

    def page_down(self) -> bool:
        """Go on by a page; return whether there was one."""
        self.terminal.settle()
        before = self.terminal.screen()
        if not re.search(r"\d+ rows? more", before):
            return False
        self.key("pagedown", lambda screen: screen.splitlines()[1:4] != before.splitlines()[1:4])
        self.terminal.settle()
        return True

    def picture(self, path: Path) -> None:
        """Keep a picture of the screen, every cell of which is red."""
        self.terminal.settle()
        assert audit(self.terminal.data) == []
        save(self.terminal.cells(), path)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """An empty log."""
    where = tmp_path / "home"
    where.mkdir()
    return where


def told(home: Path, *words: str) -> str:
    """Run a command that must succeed; return what it printed."""
    done = run(home, *words)
    assert done.returncode == 0, (words, done.stdout, done.stderr)
    return done.stdout


def why(home: Path, number: int) -> dict[str, Any]:
    """Return what `fault why` prints of a plate as JSON."""
    answer: dict[str, Any] = json.loads(told(home, "fault", "why", str(number), "--json"))
    return answer


def mix(home: Path, last_day: datetime) -> dict[str, str]:
    """Mix the bottles of the season, the new developer before plate 31; return {name: id}."""
    begun = day_of(1, last_day) - timedelta(days=1)
    for recipe, name, volume, when in (
        ("silver-bath", "B-1", "2L", begun - timedelta(days=9)),
        ("collodion-without-cadmium", "C-1", "500 mL", begun - timedelta(days=9)),
        ("developer-summer", "D-3", "1L", begun),
        ("hypo", "F-1", "2L", begun),
        ("developer-summer", "D-4", "1L", day_of(FIRST_FOG, last_day) - timedelta(minutes=30)),
    ):
        told(home, "mix", recipe, "--make", volume, "--bottle", name, "--when", when.isoformat(), "--yes")
    told(home, "bottle", "opened", "C-1", "--when", begun.isoformat())
    listed = json.loads(told(home, "bottle", "list", "--json"))
    return {bottle["name"]: bottle["bottle"] for bottle in listed}


def judge_fog(home: Path, pictures: Path) -> None:
    """By keys: two stars, the fog from the list, its place, the question answered, nothing else."""
    looking = Looking(home, 80, 24)
    with looking.terminal:
        looking.open_page(LAST_FOG)
        looking.key("j", f"JUDGE PLATE {LAST_FOG}")
        looking.key("2", "2 of 5")
        looking.down_to("fault")
        looking.key(" ", "What is wrong with the plate?")
        typed(looking.hand, "general")
        looking.hand.wait(lambda screen: "general fog" in screen and "pinholes" not in screen)
        looking.picture(pictures / "faults to choose from.png")
        looking.key("enter", QUESTION)
        looking.down_to("   where")
        looking.key("right", "‹ all over")
        looking.down_to("   asked")
        looking.key("right", f"yes: {QUESTION}")
        looking.down_to("other faults")
        looking.key("right", lambda screen: re.search(r"other faults +‹ (?!›)\S", screen) is not None)
        looking.picture(pictures / "fog judged.png")
        looking.key("enter", lambda screen: "JUDGE" not in screen)
    lines = journal(home)[LAST_FOG - 1]
    fault = next(line for line in lines if line["event"] == "fault")
    assert (fault["name"], fault["where"], fault["answers"]) == (FAULT, "all over", {QUESTION: "yes"})
    rating = next(line for line in lines if line["event"] == "rating")
    assert rating["stars"] == 2 and FAULT in rating["nothing_else"] and len(rating["nothing_else"]) >= 35


def look_at_why(home: Path) -> None:
    """`fault why` says when it began and what was new, ranks the causes, advises one change."""
    found = why(home, LAST_FOG)
    (began,) = found["began"]
    assert (began["number"], began["after"], began["plates"]) == (FIRST_FOG, FIRST_FOG - 1, 4)
    assert began["new"] == ["developer D-4", "developer 8 °C warmer"]
    assert {cause["cause"] for cause in found["causes"][:2]} == {WARM, "developer short of acid"}
    chances = [cause["chance"] for cause in found["causes"]]
    assert chances == sorted(chances, reverse=True) and 0 <= found["none"] < 0.2
    (warm,) = (cause for cause in found["causes"] if cause["cause"] == WARM)
    decibans = {reason["of"]: reason["decibans"] for reason in warm["evidence"]}
    assert (
        decibans["developer over usual"] > 5 and decibans[QUESTION] > 0 and warm["silent"] == ["first seen"]
    )
    assert any(reason["decibans"] < 0 for cause in found["causes"][:6] for reason in cause["evidence"])
    assert (found["advice"]["kind"], found["advice"]["cause"]) == ("change", WARM)
    rows = [(row["kind"], row["name"], row["having"], row["lacking"]) for row in found["tallies"]]
    judged_before = FIRST_FOG - 2  # one of them was not judged
    assert rows == [("developer", "D-4", 4, 0), ("developer", "D-3", 0, judged_before)]
    assert found["nearest_good"]["title"] == f"Plate {FIRST_FOG - 1}"
    says_why(told(home, "fault", "why", str(LAST_FOG)))


def says_why(text: str) -> None:
    """Whoever tells it: since when, what was new, for and against, what is not recorded, one advice."""
    words = " ".join(text.split())
    for part in (
        f"First with plate {FIRST_FOG} of ",
        f"new since plate {FIRST_FOG - 1}: developer D-4, developer 8 °C warmer",
        "developer: D-4 4 with, 0 without; D-3 0 with, 29 without",
        "for developer +7.5 °C against your usual strongly",
        f"for {QUESTION} yes",
        "against it did not begin with this bath",
        "not recorded: how soon the image showed",
        ": cool the developer to your usual temperature.",
        "against the nearest good one" if "WHY IT FAILED" in words else "differs from the nearest good one",
    ):
        assert part in words, (part, words)
    assert words.count("Change one thing") + words.count("Test first") == 1


def read_page(home: Path, path: Path, columns: int, rows: int, *parts: str) -> None:
    """By keys: the plate's page says why it failed, and these parts; every cell is red."""
    looking = Looking(home, columns, rows)
    with looking.terminal:
        looking.open_page(LAST_FOG)
        looking.hand.wait(f"likely {' ' * 4}{WARM}")
        looking.key("y", lambda screen: any("WHY IT FAILED" in row for row in screen.splitlines()[1:4]))
        looking.picture(path)
        seen = looking.read_all()
        looking.terminal.settle()
        assert audit(looking.terminal.data) == []
    says_why(seen)
    words = " ".join(seen.split())
    for part in parts:
        assert part in words, (part, words)


def read_home(home: Path, path: Path, *parts: str, columns: int = 80, rows: int = 24) -> None:
    """The home screen says this before the next plate of the process; every cell is red."""
    hand = Photographer(home, columns, rows)
    with hand.terminal:
        hand.open()
        hand.wait("to the bench")
        for part in parts:
            hand.wait(part)
        hand.terminal.settle()
        assert audit(hand.terminal.data) == []
        save(hand.terminal.cells(), path)


def confirm_cause(home: Path, pictures: Path) -> None:
    """By keys: the ranked causes are listed on the plate's page, and the first of them is confirmed."""
    looking = Looking(home, 80, 24)
    with looking.terminal:
        looking.open_page(LAST_FOG)
        looking.hand.wait(f"likely {' ' * 4}{WARM}")
        looking.key("c", "what did it come from?")
        looking.hand.wait(lambda screen: screen.find(WARM) < screen.find("developer short of acid"))
        looking.picture(pictures / "which cause it was.png")
        looking.key("enter", f"confirmed: {WARM}")
    (first, corrected) = (line for line in journal(home)[LAST_FOG - 1] if line["event"] == "fault")
    assert (corrected["cause"], corrected["corrects"]) == (WARM, first["n"])
    assert corrected["answers"] == first["answers"]


def make_good_plates(home: Path, last_day: datetime, ids: dict[str, str], numbers: Sequence[int]) -> None:
    """The next plates with a cooler developer are judged, and have nothing of it."""
    for number in numbers:
        shelve_plate(home, number, last_day, ids, judged=False)
        told(home, "log", "rate", str(number), "--stars", "4", "--nothing-else")


def look_at_confirmed(home: Path, before: dict[str, Any]) -> None:
    """The confirmed cause is counted; it moves the chances of other plates, not those of this one."""
    after = why(home, LAST_FOG)
    chances = [{cause["cause"]: cause for cause in found["causes"]} for found in (before, after)]
    assert [cause[WARM]["confirmed"] for cause in chances] == [0, 1]
    assert chances[1][WARM]["chance"] == chances[0][WARM]["chance"]
    assert chances[1][WARM]["evidence"] == chances[0][WARM]["evidence"]
    assert (before["confirmed"], after["confirmed"]) == (0, 1)
    assert after["began"] == before["began"] and after["tallies"] == before["tallies"]
    # the next good plates differ in the developer's temperature alone, those before in the bottle too
    assert int(after["nearest_good"]["title"].split()[-1]) > LAST_FOG
    words = " ".join(told(home, "fault", "why", str(LAST_FOG)).split())
    assert f"You confirmed: {WARM}." in words and "confirmed on 1 of your plates" in words
    other = why(home, FIRST_FOG + 1)
    (warm,) = (cause for cause in other["causes"] if cause["cause"] == WARM)
    assert warm["confirmed"] == 1
    done = run(home, "fault", "why", str(PLATES))
    assert done.returncode == 1 and f"plate {PLATES} has no fault marked" in done.stderr


def test_fog_after_a_new_developer(home: Path, tmp_path: Path) -> None:
    """It says since when and what was new, ranks causes, advises one change, and the cause is confirmed."""
    last_day = datetime.now().astimezone().replace(hour=9, minute=0, second=0, microsecond=0)
    last_day -= timedelta(days=1)
    ids = mix(home, last_day)
    for number in range(1, LAST_FOG + 1):
        shelve_plate(home, number, last_day, ids, judged=number < LAST_FOG)
    judge_fog(home, tmp_path)
    look_at_why(home)
    for columns, rows in SIZES:
        read_page(home, tmp_path / f"why {columns}.png", columns, rows)
        read_home(home, tmp_path / f"since {columns}.png", SINCE, columns=columns, rows=rows)
    make_good_plates(home, last_day, ids, range(LAST_FOG + 1, FIRST_SURE))
    read_home(home, tmp_path / "gone.png", GONE)
    before = why(home, LAST_FOG)
    confirm_cause(home, tmp_path)
    make_good_plates(home, last_day, ids, range(FIRST_SURE, PLATES + 1))
    look_at_confirmed(home, before)
    for columns, rows in SIZES:
        path = tmp_path / f"why, confirmed {columns}.png"
        read_page(home, path, columns, rows, f"You confirmed: {WARM}.", "confirmed on 1 of your plates")
