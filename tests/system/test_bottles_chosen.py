"""Bottles in a real terminal: chosen on the form, changed at the bench, taken by a rehearsal."""

from __future__ import annotations

import json
import signal
from pathlib import Path
from typing import Any

import pytest

from tests.kit.audit import audit
from tests.kit.bottle_files import put_bottle
from tests.kit.form_hand import choose, current
from tests.kit.photographer import Photographer, journal

pytestmark = [pytest.mark.system]

QUICK = """\
name: Quick plate
sensitive: never
stages:
  - {name: coat, light: white, ends: by_eye, starts: on_strike, expect: [1 s, 1 min]}
  - {name: sensitise, light: white, ends: by_eye, expect: [1 s, 1 min], holds: [silver]}
  - {name: fix, light: white, ends: cleared, clearing_factor: 1.1, expect: [1 s, 1 min], holds: [hypo]}
  - {name: dry, light: white, ends: by_eye, expect: [1 s, 10 min]}
"""


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a log with a quick process and a book of bottles."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    where = tmp_path / "home"
    (where / "profiles").mkdir(parents=True)
    (where / "profiles" / "quick.yaml").write_text(QUICK)
    return where


def starts(lines: list[dict[str, Any]]) -> dict[str, Any]:
    """Return {stage: the bottles that its start names} of a journal."""
    return {line["stage"]: line.get("bottle_ids") for line in lines if line["event"] == "stage_started"}


def choose_on_form(hand: Photographer, label: str, name: str) -> None:
    """Go to a row of the form and press right until it holds this bottle."""
    for _ in range(40):
        if current(hand, label):
            break
        hand.arrow("down")
    for _ in range(4):
        if f"‹ {name}" in hand.terminal.whole_screen():
            return
        hand.arrow("right")
    raise AssertionError(f"no bottle {name}:\n{hand.terminal.screen()}")


def test_bottles_from_the_form_to_the_journal(home: Path) -> None:
    """Chosen with the arrows, changed in the coating, kept for the next sitting and a rehearsal."""
    first, second = put_bottle(home, "bath", "B-1", days=30), put_bottle(home, "bath", "B-2")
    collodion, fixer = put_bottle(home, "collodion", "C-4"), put_bottle(home, "fixer", "F-1")
    morning = {"collodion": collodion, "bath": first, "fixer": fixer}
    hand = Photographer(home, 80, 24)
    with hand.terminal:
        hand.open()
        for _ in range(40):
            if "‹ quick ›" in hand.terminal.whole_screen():
                break
            hand.arrow("right")
        hand.wait("silver bath bottle")
        choose_on_form(hand, "silver bath bottle", "B-1")
        choose_on_form(hand, "fixer bottle", "F-1")
        choose_on_form(hand, "collodion", "C-4")
        hand.press("enter")
        hand.go_through_sheet()
        hand.wait("coat")
        hand.strike("sensitise")
        assert journal(home)[0][0]["bottle_ids"] == morning
        hand.press("escape")
        hand.wait("Change a bottle")
        choose(hand, "Change a bottle")
        hand.wait("silver bath: B-1")
        choose(hand, "silver bath: B-1")
        hand.wait("Which bottle?")
        choose(hand, "B-2")
        hand.wait("silver bath B-2: plate 1 and the plates after")
        hand.terminal.kill(signal.SIGKILL)  # before the stage has begun: no journal says it yet
        hand.terminal.wait()
        assert audit(hand.terminal.data) == []

    again = Photographer(home, 80, 24)
    with again.terminal:
        again.open()
        again.wait("coat")
        again.strike("fix")
        again.strike("dry")
        again.terminal.wait_until(lambda: "fix" in starts(journal(home)[0]))
        assert starts(journal(home)[0]) == {"coat": None, "sensitise": {"bath": second}, "fix": None}
        assert audit(again.terminal.data) == []
        again.terminal.kill(signal.SIGKILL)
        again.terminal.wait()

    play = Photographer(home, 80, 24)
    with play.terminal:
        play.open("rehearse", "quick")
        play.wait("coat")
        play.press("space")
        play.terminal.wait_until(lambda: any((home / "rehearsals").rglob("*.jsonl")))
    rehearsed = next((home / "rehearsals").rglob("*.jsonl")).read_text().splitlines()
    assert json.loads(rehearsed[0])["bottle_ids"] == {**morning, "bath": second}
