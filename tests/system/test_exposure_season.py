"""A season that begins with no judged plate: a test plate, a second plate by it, ten plates more."""

from __future__ import annotations

import json
import math
import re
import time
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from darkroom.bench import events as ev
from darkroom.process.model import ExposurePlan
from darkroom.process.scene import Scene
from tests.kit.audit import audit
from tests.kit.exports import shelve
from tests.kit.form_hand import choose, current, fill
from tests.kit.photographer import CHANGED, Photographer, journal, run
from tests.kit.picture import save

pytestmark = [pytest.mark.system, pytest.mark.slow]

QUICK = """\
name: Quick plate
sensitive: never
stages:
  - {name: pour, light: white, ends: by_eye, starts: on_strike, expect: [1 s, 1 min]}
  - {name: expose, light: covered, ends: exposure, lead_in: 1 s}
  - {name: fix, light: white, ends: cleared, clearing_factor: 1.1, expect: [1 s, 1 min]}
  - {name: dry, light: white, ends: by_eye, expect: [1 s, 10 min]}
"""
KIT = """\
lenses:
  - {name: brass portrait lens, focal_length: 210 mm, stops: {wide open: f/2.8}}
  - {name: landscape lens, focal_length: 300 mm, stops: {no. 2: f/8}}
lights:
  - {name: north window, kind: window}
"""
SPEED = 0.3
"""What the invented photographer's plates are, in log2 of their speed."""
WINDOW = 9.0
"""The EV of the invented window."""
SLIP = 8
"""The plate whose judgement slips."""


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """An empty log with a quick process and a kit."""
    where = tmp_path / "home"
    (where / "profiles").mkdir(parents=True)
    (where / "profiles" / "quick.yaml").write_text(QUICK)
    (where / "kit.yaml").write_text(KIT)
    return where


def make_test_plate_and_second(home: Path) -> None:
    """Without a judged plate strips are proposed, called one by one, and the best one proposes the next."""
    hand = Photographer(home, 80, 24)
    with hand.terminal:
        hand.open()
        hand.wait("to the bench")
        for _ in range(40):
            if "‹ quick ›" in hand.terminal.whole_screen():
                break
            hand.arrow("right")
        fill(hand, lens="brass portrait lens", aperture="wide open", light_on="north window")
        hand.wait("assumed: no judged plate tells it yet")
        while not current(hand, "exposure, s"):
            hand.arrow("down")
        hand.wait("Right takes a test plate")
        hand.terminal.send("\x1b[C")
        hand.wait(lambda screen: "counts up" not in screen)
        hand.press("enter")
        hand.go_through_sheet()
        hand.wait("pour")
        hand.press("space")
        hand.wait("then expose")
        hand.press("space")
        hand.wait("strips ")
        hand.press("space")
        hand.called("Cover one more strip")
        hand.wait("then dry")
        time.sleep(CHANGED)
        hand.press("space")
        hand.terminal.wait_until(lambda: any(line["event"] == "cleared" for line in journal(home)[0]))
        hand.press("escape")
        hand.wait("The next plate: more, right, less")
        choose(hand, "The next plate: more, right, less")
        hand.wait("Which strip is the best?")
        choose(hand, "strip 2: ")
        hand.wait(lambda screen: re.search(r"next plate: [0-9.]+ s, [0-9.]+ to ", screen) is not None)
        (first,) = journal(home)
        ended = next(line for line in first if line["event"] == "stage_ended" and line["stage"] == "expose")
        assert len(ended["strips"]) == 5
        rating = next(line for line in first if line["event"] == "rating")
        assert rating["best_strip"] == 2
        hand.press("space")
        hand.press("escape")
        hand.wait(lambda screen: re.search(r"New plate: [0-9.]+ s, [0-9.]+ to ", screen) is not None)
        choose(hand, "New plate: ")
        hand.wait("then expose")
        hand.press("space")
        hand.terminal.wait_until(lambda: len(journal(home)) == 2)
    second = journal(home)[1][0]
    assert (second["proposed"]["plates"], second["proposed"]["from"]) == (1, "plates")
    assert second["plan"]["seconds"] == second["proposed"]["seconds"]
    strips = first[0]["plan"]["steps"]
    assert strips == [1, 1, 2, 4, 8] and first[0]["proposed"]["from"] == "assumed"
    assert first[0]["scene"] == {"light": "north window", "kind": "window", "f_number": 2.8}
    low, high = (second["proposed"][end] for end in ("low", "high"))
    wide_low, wide_high = (first[0]["proposed"][end] for end in ("low", "high"))
    assert high / low < 0.5 * wide_high / wide_low


def needed(f_number: float, speed: float) -> float:
    """Return the seconds that a plate of this log2 speed needs at the window."""
    return 100 * f_number**2 / 2.0 ** (speed + WINDOW)


def shelve_plate(home: Path, number: int, at: datetime, seconds: float, **more: Any) -> None:
    """Put a plate into the log that was exposed for so long, as the bench writes it."""
    process = journal(home)[0][0]["process"]
    name = f"{at:%Y%m%d-%H%M%S}-aaaa{number:02}"
    lines: list[ev.AnyEvent] = []

    def add(kind: type[Any], after: float, **members: Any) -> None:
        stamp = (at + timedelta(seconds=after)).isoformat(timespec="milliseconds")
        lines.append(kind(n=len(lines) + 1, at=stamp, up=1e5 * number + after, **members))

    add(ev.PlateStarted, 0.0, plate=name, number=number, schema=1, version="test", bench="b", boot="boot",
        process=process, plan=ExposurePlan(seconds=seconds), **more)  # fmt: skip
    add(ev.StageStarted, 0.0, stage="pour", planned=None, celsius=None)
    add(ev.StageEnded, 20.0, stage="pour", seconds=20.0, planned=None, how="strike")
    add(ev.LeadInStarted, 60.0, stage="expose", seconds=1.0)
    add(ev.StageStarted, 61.0, stage="expose", planned=seconds, celsius=None)
    add(ev.StageEnded, 61.0 + seconds, stage="expose", seconds=seconds, planned=seconds, how="zero")
    add(ev.StageStarted, 61.0 + seconds, stage="fix", planned=None, celsius=None)
    add(ev.Cleared, 91.0 + seconds, stage="fix", seconds=30.0)
    add(ev.StageEnded, 125.0 + seconds, stage="fix", seconds=64.0, planned=33.0, how="strike")
    add(ev.PlateEnded, 130.0 + seconds, how="done")
    shelve(home, lines, f"{at:%Y-%m-%d}")


def learned(home: Path, at: datetime, *words: str) -> dict[str, Any]:
    """Return what `exposure learn` prints as JSON."""
    done = run(home, "exposure", "learn", "--at", at.isoformat(), "--json", *words)
    assert done.returncode == 0, done.stderr
    answer: dict[str, Any] = json.loads(done.stdout)
    return answer


def make_ten_plates_more(home: Path) -> None:
    """Lens, window, collodion change and one judgement slips: the interval narrows, the slip is named."""
    begun = datetime.fromisoformat(journal(home)[0][0]["at"]).replace(hour=10, minute=0, second=0)
    widths = [wide(learned(home, begun, "--light", "north window", "--f", "2.8"))]
    seconds = journal(home)[1][0]["plan"]["seconds"]
    for step in range(10):
        number, at = step + 3, begun + timedelta(days=1 + 2 * step)
        rapid, new = step >= 3, step >= 6
        f_number = 8.0 if rapid else 2.8
        speed = SPEED - 0.2 * rapid + 0.3 * new + (-0.2, 0.1, 0.2, 0.0, -0.1)[step % 5]
        wanted = round(2 * math.log2(needed(f_number, speed) / seconds)) / 2
        judged = wanted + 3.5 if number == SLIP else wanted
        shelve_plate(
            home,
            number,
            at,
            seconds,
            scene=Scene(light="north window", kind="window", f_number=f_number),
            lens="landscape lens" if rapid else "brass portrait lens",
            light="north window",
            bottles={"collodion": "C-5" if new else "C-4"},
        )
        rated = run(home, "log", "rate", str(number), f"--exposure-stops={judged:+g}")
        assert rated.returncode == 0, rated.stderr
        following = learned(home, at + timedelta(hours=1))
        widths.append(wide(following))
        seconds = round(following["seconds"], 2)
    assert widths[-1] < 0.6 * widths[0]
    assert following["plates"] == 11 and len(following["weigh"]) == 2
    assert [int(odd["plate"][-2:]) for odd in following["unfitting"]] == [SLIP]
    right = needed(8.0, SPEED + 0.1)
    assert following["seconds_low"] < right < following["seconds_high"]
    told = run(home, "exposure", "learn", "--at", (at + timedelta(hours=1)).isoformat()).stdout
    assert f"plate {SLIP}" in told and "weigh most" in told


def wide(answer: dict[str, Any]) -> float:
    """Return the width of the interval of times, in stops."""
    return math.log2(answer["seconds_high"] / answer["seconds_low"])


def read_page(home: Path, pictures: Path, columns: int, rows: int) -> None:
    """By keys from the home form: time, interval, which plates weigh most, the slip; every cell red."""
    hand = Photographer(home, columns, rows)
    with hand.terminal:
        hand.open()
        hand.press("escape")
        hand.wait("New plate like the last")
        choose(hand, "Home")
        hand.wait("from 11 plates: mostly")
        hand.terminal.send("\x1b[19~")
        hand.wait(lambda screen: "EXPOSURE" in screen and "from 11" in screen and "ctrl+t" in screen)
        hand.terminal.settle()  # no sequence is cut in the middle
        seen = hand.terminal.screen()
        assert audit(hand.terminal.data) == []
        save(hand.terminal.cells(), pictures / f"exposure {columns}.png")
        while (more := re.search(r"page down: \d+ rows? more", hand.terminal.screen())) is not None:
            hand.terminal.send("\x1b[6~")
            hand.wait(lambda screen, before=more[0]: before not in screen)  # type: ignore[misc]
            hand.terminal.settle()
            seen += hand.terminal.screen()
        beside = next(row.index("from 1 s") for row in seen.splitlines() if "from 1 s" in row)
        words = " ".join(" ".join(row[beside:] for row in seen.splitlines()).split())
        assert re.search(r"weigh most plate \d+ .{0,9}and plate \d+", words)
        assert f"does not fit plate {SLIP}:" in words
        assert re.search(r"Test plate: [3-7] strips, each ×", words)
        hand.press("enter")
        hand.wait("to the bench")
        hand.wait(lambda screen: re.search(r"exposure, s +[0-9.]+ s", screen) is not None)


def test_a_season_from_no_judged_plate_on(home: Path, tmp_path: Path) -> None:
    """A test plate proposes the second plate, ten more narrow the interval, and the page names the slip."""
    make_test_plate_and_second(home)
    make_ten_plates_more(home)
    for columns, rows in ((80, 24), (120, 40)):
        read_page(home, tmp_path, columns, rows)
