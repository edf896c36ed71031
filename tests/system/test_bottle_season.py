"""A season with its bottles: mixed, chosen, counted, measured, topped up, changed at noon, and merged."""

from __future__ import annotations

import json
import re
import shutil
import time
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import msgspec
import pytest

from darkroom.bench import events as ev
from darkroom.process.file import profile
from darkroom.process.model import ExposurePlan
from tests.kit.audit import audit
from tests.kit.exports import shelve
from tests.kit.form_hand import choose, go_to
from tests.kit.photographer import CHANGED, Photographer, journal, run
from tests.kit.picture import save

pytestmark = [pytest.mark.system, pytest.mark.slow]

QUICK = """\
name: Quick plate
sensitive: never
stages:
  - {name: coat, light: white, ends: by_eye, starts: on_strike, expect: [1 s, 1 min], uses: collodion}
  - {name: sensitise, light: white, ends: by_eye, expect: [1 s, 1 min], uses: bath}
  - {name: expose, light: covered, ends: exposure, lead_in: 1 s}
  - {name: develop, light: white, ends: by_eye, expect: [1 s, 1 min], uses: developer}
  - {name: fix, light: white, ends: cleared, clearing_factor: 1.1, expect: [1 s, 1 min], uses: fixer}
  - {name: dry, light: white, ends: by_eye, expect: [1 s, 10 min]}
"""
PERIOD_BATH = """\
name: Forty grain bath
makes: bath
volume: 16 US fl oz
strength: 40 gr/US fl oz
of: silver-nitrate
ingredients:
  - what: silver nitrate
    amount: 640 gr
    source: invented
    cautions: [It blinds. Goggles on.]
  - {what: distilled water, fill_to: 16 US fl oz, source: invented}
steps: [Dissolve the silver nitrate.]
care:
  - {id: filter, do: Filter the bath, after: {plates: 60}, answered_by: [filtered], source: invented}
"""
PLATES = 30
BY_KEYS = 3
"""So many of the plates are made at the bench, after those of the generator."""
IN_FIRST_FIXER = 17
"""So many plates are fixed in the first fixer; each clears more slowly than the one before."""
SLOWER = 0.15
"""By how much of its fresh time the fixer clears more slowly with each plate."""
DAYS = 20
"""So many days ago the bottles were mixed."""
OWN = shutil.ignore_patterns("catalogue*", "bench.*")
"""What belongs to one bench alone, and is not copied."""


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """An empty log with a quick process and a recipe of one's own."""
    where = tmp_path / "home"
    (where / "profiles" / "solutions").mkdir(parents=True)
    (where / "profiles" / "quick.yaml").write_text(QUICK)
    (where / "profiles" / "solutions" / "forty-grain-bath.yaml").write_text(PERIOD_BATH)
    return where


def told(home: Path, *words: str) -> str:
    """Run a command that must succeed; return what it printed."""
    done = run(home, *words)
    assert done.returncode == 0, (words, done.stdout, done.stderr)
    return done.stdout


def mix(home: Path, day: datetime) -> None:
    """Mix the season's bottles from recipes in grains and ounces, and three fixers."""
    when = ("--when", day.isoformat(), "--yes")
    card = told(home, "mix", "forty-grain-bath", "--make", "32 US fl oz", "--bottle", "B-1", *when)
    assert "1280 gr" in card and "It blinds" in card
    told(home, "mix", "collodion-without-cadmium", "--make", "8 US fl oz", "--bottle", "C-1", *when)
    told(home, "mix", "developer-summer", "--make", "1L", "--bottle", "D-1", *when)
    for name in ("F-1", "F-2", "F-3"):
        told(home, "mix", "hypo", "--make", "20 imperial fl oz", "--bottle", name, *when)
    told(home, "bottle", "opened", "C-1", *when[:2])
    assert shown(home, "B-1")["strength"]["percent_wv"] == pytest.approx(8.764, abs=0.001)


def shown(home: Path, name: str) -> dict[str, Any]:
    """Return what `bottle show` prints as JSON."""
    answer: dict[str, Any] = json.loads(told(home, "bottle", "show", name, "--json"))
    return answer


def make_plates(home: Path, pictures: Path) -> None:
    """Choose the bottles once on the home form; three plates take them, the last the fixer of the noon."""
    hand = Photographer(home, 80, 24)
    with hand.terminal:
        hand.open()
        hand.wait("to the bench")
        for _ in range(40):
            if "‹ quick ›" in hand.terminal.whole_screen():
                break
            hand.arrow("right")
        hand.wait("fixer bottle")
        for label, name in (("collodion", "C-1"), ("silver bath bottle", "B-1"), ("developer bottle", "D-1"),
                            ("fixer bottle", "F-2")):  # fmt: skip
            take(hand, label, name)
        hand.terminal.settle()
        assert audit(hand.terminal.data) == []
        save(hand.terminal.cells(), pictures / "bottles on the home form.png")
        hand.press("enter")
        hand.go_through_sheet()
        for number in range(PLATES - BY_KEYS + 1, PLATES + 1):
            if number > PLATES - BY_KEYS + 1:
                hand.press("escape")
                hand.wait("New plate like the last")
                choose(hand, "New plate like the last")
            if number == PLATES:
                change_fixer(hand)
            make_plate(hand, home, number)
    plates = journal(home)[-BY_KEYS:]
    assert {*plates[0][0]["bottle_ids"]} == {"collodion", "bath", "developer", "fixer"}
    assert plates[1][0]["bottles"] == plates[0][0]["bottles"]
    ids = ids_of(home)
    assert [fixer_of(lines) for lines in plates] == [ids["F-2"], ids["F-2"], ids["F-3"]]


def ids_of(home: Path) -> dict[str, str]:
    """Return {name: id} of the bottles."""
    listed = json.loads(told(home, "bottle", "list", "--json"))
    return {bottle["name"]: bottle["bottle"] for bottle in listed}


def take(hand: Photographer, label: str, name: str) -> None:
    """Take the bottle of this name in the row of this label."""
    go_to(hand, label)
    for _ in range(6):
        if re.search(rf"{label} +(‹ )?{re.escape(name)}( ›|  |$)", hand.terminal.whole_screen(), re.M):
            return
        hand.arrow("right")
    raise AssertionError(f"no bottle {name!r}:\n{hand.terminal.screen()}")


def fixer_of(lines: list[dict[str, Any]]) -> str:
    """Return the id of the bottle in which a plate was fixed."""
    fixed = next(line for line in lines if line["event"] == "stage_started" and line["stage"] == "fix")
    name: str = (fixed.get("bottle_ids") or lines[0]["bottle_ids"])["fixer"]
    return name


def make_plate(hand: Photographer, home: Path, number: int) -> None:
    """Take a plate from the coating to its end, by the space bar alone."""
    for ahead in ("sensitise", "expose"):
        hand.strike(ahead)
    hand.press("space")
    hand.terminal.wait_until(lambda: has(home, number, "stage_ended", "sensitise"))
    hand.press("space")
    hand.terminal.wait_until(lambda: has(home, number, "stage_started", "expose"))
    time.sleep(CHANGED)
    hand.press("space")
    hand.terminal.wait_until(lambda: has(home, number, "stage_started", "develop"))
    for event, stage in (("stage_started", "fix"), ("cleared", "fix"), ("stage_ended", "fix")):
        time.sleep(CHANGED)
        hand.press("space")
        hand.terminal.wait_until(lambda: has(home, number, event, stage))  # noqa: B023
    time.sleep(CHANGED)
    hand.press("space")
    hand.terminal.wait_until(lambda: has(home, number, "plate_ended"))


def has(home: Path, number: int, event: str, stage: str | None = None) -> bool:
    """Return whether the journal of a plate has such a line."""
    plates = journal(home)
    lines = plates[number - 1] if len(plates) >= number else []
    return any(line["event"] == event and line.get("stage") == stage for line in lines)


def change_fixer(hand: Photographer) -> None:
    """Change the fixer in the menu of the bench: for the plate that has not come to it, and those after."""
    hand.press("escape")
    hand.wait("Change a bottle")
    choose(hand, "Change a bottle")
    hand.wait("fixer: F-2")
    choose(hand, "fixer: F-2")
    hand.wait("F-3")
    choose(hand, "F-3")
    hand.wait("fixer F-3")


def shelve_plates(home: Path, day: datetime) -> None:
    """Put the generator's plates into the log: the first fixer clears more slowly with each."""
    ids = ids_of(home)
    process = msgspec.to_builtins(profile.parse(QUICK, "quick.yaml"))
    for number in range(1, PLATES - BY_KEYS + 1):
        in_first = number <= IN_FIRST_FIXER
        cleared = 40.0 * (1 + SLOWER * (number - 1)) if in_first else 40.0
        fixer = "F-1" if in_first else "F-2"
        chosen = {"collodion": "C-1", "bath": "B-1", "developer": "D-1", "fixer": fixer}
        shelve_plate(
            home,
            number,
            day + timedelta(days=1 + number // 2, minutes=20 * (number % 2)),
            cleared,
            process=process,
            bottles=chosen,
            bottle_ids={role: ids[name] for role, name in chosen.items()},
        )


def shelve_plate(home: Path, number: int, at: datetime, cleared: float, **more: Any) -> None:
    """Put a plate into the log whose film cleared after so many seconds, as the bench writes it."""
    lines: list[ev.AnyEvent] = []

    def add(kind: type[Any], after: float, **members: Any) -> None:
        stamp = (at + timedelta(seconds=after)).isoformat(timespec="milliseconds")
        lines.append(kind(n=len(lines) + 1, at=stamp, up=1e5 * number + after, **members))

    name = f"{at:%Y%m%d-%H%M%S}-aaaa{number:02}"
    add(ev.PlateStarted, 0.0, plate=name, number=number, schema=1, version="test", bench="b", boot="boot",
        plan=ExposurePlan(seconds=2.0), size="8x10 in" if number % 3 else None, **more)  # fmt: skip
    after = 0.0
    for stage, seconds in (("coat", 20.0), ("sensitise", 200.0)):
        add(ev.StageStarted, after, stage=stage, planned=None, celsius=None)
        after += seconds
        add(ev.StageEnded, after, stage=stage, seconds=seconds, planned=None, how="strike")
    add(ev.LeadInStarted, 230.0, stage="expose", seconds=1.0)
    add(ev.StageStarted, 231.0, stage="expose", planned=2.0, celsius=None)
    add(ev.StageEnded, 233.0, stage="expose", seconds=2.0, planned=2.0, how="zero")
    add(ev.StageStarted, 233.0, stage="develop", planned=None, celsius=None)
    add(ev.StageEnded, 250.0, stage="develop", seconds=17.0, planned=None, how="strike")
    add(ev.StageStarted, 250.0, stage="fix", planned=None, celsius=None)
    add(ev.Cleared, 250.0 + cleared, stage="fix", seconds=cleared)
    over = 1.1 * cleared + 1.0
    add(ev.StageEnded, 250.0 + over, stage="fix", seconds=over, planned=1.1 * cleared, how="strike")
    add(ev.PlateEnded, 260.0 + over, how="done")
    shelve(home, lines, f"{at:%Y-%m-%d}")


def test_a_season_of_bottles(home: Path, tmp_path: Path) -> None:
    """Thirty plates count themselves; a slow fixer is noticed; folders merge; tomorrow's care is told."""
    day = datetime.now().astimezone().replace(hour=9, minute=0, second=0, microsecond=0) - timedelta(
        days=DAYS
    )
    mix(home, day)
    shelve_plates(home, day)
    slow = [care for care in shown(home, "F-1")["care"] if care["now"]]
    assert slow and re.search(r"cleared in 2:16, fresh 0:46", slow[0]["basis"]), slow
    make_plates(home, tmp_path)
    listed = {bottle["name"]: bottle for bottle in json.loads(told(home, "bottle", "list", "--json"))}
    assert {name: bottle["plates"] for name, bottle in listed.items()} == {
        "B-1": PLATES, "C-1": PLATES, "D-1": PLATES, "F-1": 17, "F-2": 12, "F-3": 1,
    }  # fmt: skip
    of_known_size = sum(1 for number in range(1, PLATES - BY_KEYS + 1) if number % 3)
    assert listed["B-1"]["area_cm2"] == pytest.approx(of_known_size * 8 * 10 * 2.54**2)
    unknown = PLATES - of_known_size
    assert f"30 plates, {unknown} of unknown size" in told(home, "bottle", "show", "B-1")
    reading = told(home, "bottle", "measure", "B-1", "--density", "1.061", "--at", "23C")
    assert re.search(r"[78]\.\d+ % w/v", reading) and "at least" in reading
    before = shown(home, "B-1")["strength"]["percent_wv"]
    told(home, "bottle", "top-up", "B-1", "--to", "9", "--yes")
    assert before < shown(home, "B-1")["strength"]["percent_wv"] == pytest.approx(9.0)
    merge_and_compare(home, tmp_path)
    closing = told(home, "day", "--close")
    assert re.search(r"Tomorrow, F-1: ", closing), closing
    look_at_page(home, tmp_path)


def merge_and_compare(home: Path, tmp_path: Path) -> None:
    """A copy on another bench goes on by itself; both folders into one another, twice: nothing is doubled."""
    other = tmp_path / "other"
    shutil.copytree(home, other, ignore=OWN)
    away = {"XDG_STATE_HOME": str(tmp_path / "other state")}
    with pytest.MonkeyPatch.context() as patch:
        for name, value in away.items():
            patch.setenv(name, value)
        told(other, "bottle", "treat", "B-1", "filtered", "--yes")
        told(other, "bottle", "note", "B-1", "smells of ether")
    told(home, "bottle", "note", "B-1", "stands in the cupboard")
    for _ in range(2):
        shutil.copytree(home, other, dirs_exist_ok=True, ignore=OWN)
        shutil.copytree(other, home, dirs_exist_ok=True, ignore=OWN)
    one, two = told(home, "bottle", "show", "B-1"), told(other, "bottle", "show", "B-1")
    assert one == two
    for text in ("smells of ether", "stands in the cupboard", "  filtered  "):
        assert one.count(text) == 1, one
    assert shown(home, "B-1")["plates"] == PLATES


def look_at_page(home: Path, pictures: Path) -> None:
    """By keys from the home form: the page of bottles and the life of the bath; every cell red."""
    for columns, rows in ((80, 24), (120, 40)):
        hand = Photographer(home, columns, rows)
        with hand.terminal:
            hand.open()
            hand.wait("to the bench")
            hand.wait("due: ")
            hand.terminal.send("f12")
            hand.wait(lambda screen: "BOTTLES" in screen and "F-3" in screen and "reading" not in screen)
            save_red(hand, pictures / f"bottles {columns}.png")
            for _ in range(6):
                if is_current_row(hand, "B-1"):
                    break
                hand.arrow("down")
            hand.press("enter")
            hand.wait("Its life")
            seen = hand.terminal.screen()
            save_red(hand, pictures / f"one bottle {columns}.png")
            while (more := re.search(r"\d+ rows? more below", hand.terminal.screen())) is not None:
                hand.terminal.send("pagedown")
                hand.wait(lambda screen, before=more[0]: before not in screen)  # type: ignore[misc]
                hand.terminal.settle()
                seen += hand.terminal.screen()
            assert audit(hand.terminal.data) == []
            for text in ("30 plates, 12 of unknown size", "filtered", "topped up", "strength", "from "):
                assert text in seen, (text, seen)


def is_current_row(hand: Photographer, name: str) -> bool:
    """Return whether the row of a list that begins with this stands on another ground than the heading."""
    rows = hand.terminal.screen().splitlines()
    y = next(y for y, row in enumerate(rows) if row.startswith(f" {name} "))
    return hand.terminal.background(1, y) != hand.terminal.background(1, 1)


def save_red(hand: Photographer, path: Path) -> None:
    """Save a picture of the screen, whose every cell is red."""
    hand.terminal.settle()
    assert audit(hand.terminal.data) == []
    save(hand.terminal.cells(), path)
