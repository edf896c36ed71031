"""A tintype, a negative and a plate fixed in cyanide by three pedals and the voice alone.

Each is put on with dry hands at the form, and the screen made black. From the blackout on, until a plate is
in its wash, the hand knows only what is in the recording of a sound server's null sink, matched sample by
sample with the shipped words: the first press brings the screen back, and nobody looks at it.
"""

from __future__ import annotations

import signal
import time
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("numpy", reason="numpy analyses the recorded sound")

from tests.kit import short_processes
from tests.kit.audit import audit
from tests.kit.cues_heard import word_stem
from tests.kit.day import TITLE
from tests.kit.hand_by_ear import HandByEar
from tests.kit.menu import FIRST, move_to
from tests.kit.photographer import UNLOCKED, Photographer, journal, run

CLEARED = 1.5
"""Seconds after which a plate has cleared: later than is asked about."""
SHORT = {
    "sensitise": {"time": "6 s"},
    "expose": {"lead_in": "2 s"},
    "develop": {"lead_in": "2 s", "time": {"at": "20 °C", "is": "2 s", "coefficient": "1.9"}},
    "rinse": {"time": "5 s"},
    "fix": {"expect": ["3 s", "1 min"]},
    "wash": {"time": "4 s"},
}
AS_SHIPPED = {"lead_in": "5 s"}
"""With this lead-in the answer to the press is said beside its pips."""
PROCESSES = {
    "1-tintype": {**SHORT, "expose": AS_SHIPPED, "develop": {**SHORT["develop"], **AS_SHIPPED}},
    "2-negative": {**SHORT, "sensitise": {"time": "22 s"}},
    "3-cyanide": {**SHORT, "sensitise": {"time": "22 s"}},
}
"""Each process with its times. A bath in which another plate is racked is long enough for that, and for a
question with its answer, before the ten seconds in which it would take the strike itself."""
BEGUN = ["coat", "sensitise", "drain", "expose", "develop", "stop"]
STAGES = [
    [*BEGUN, "fix", "wash"],
    [*BEGUN, "fix", "rinse", "intensify", "wash"],
    [*BEGUN, "rinse", "fix", "wash"],
]
"""The stages of each plate that end before it is on the rack."""


def choose(hand: Photographer, label: str) -> None:
    """Choose a row of the menu."""
    hand.press("escape")
    hand.wait(FIRST)
    move_to(label, [hand.terminal])
    hand.press("enter")


def put_on(hand: Photographer, name: str) -> None:
    """Put a plate of a process on the bench at the form, and choose the blackout from the menu."""
    hand.choose_process(name)
    asked = (TITLE, "Yes, confirmed", "then sensitise")
    hand.wait(lambda screen: any(text in screen for text in asked))
    if TITLE in hand.terminal.screen():
        hand.go_through_sheet()
        hand.wait(lambda screen: any(text in screen for text in asked[1:]))
    assert ("Yes, confirmed" in hand.terminal.screen()) == (name == "3-cyanide")
    if name == "3-cyanide":
        hand.press("down")
        hand.press("enter")
        hand.wait("then sensitise")
    choose(hand, "Blackout")
    hand.terminal.wait_for(lambda screen: not screen.strip())
    time.sleep(UNLOCKED)


def to_bath(hand: HandByEar, plate: str) -> None:
    """Coat a plate and put it into the silver bath."""
    hand.go("plate", plate, "coat")
    hand.work()
    hand.go("plate", plate, "sensitise")


def rack_other(hand: HandByEar, plate: str, bath: str) -> None:
    """Put a washed plate into the rack while another lies in the bath, which is large again after it."""
    hand.hear("plate", plate, "now")
    hand.work()
    hand.go("plate", plate, "dry")
    hand.hear("plate", bath, "now")
    hand.work()


def lift_to_stop(hand: HandByEar, plate: str) -> None:
    """Take a plate from the bath's call to the water after the developer."""
    hand.hear("plate", plate, "lift")
    hand.go("plate", plate, "drain")
    hand.work()
    hand.go("plate", plate, "expose")
    hand.go("plate", plate, "expose")
    hand.hear("uncap")
    hand.work()
    hand.go("plate", plate, "develop")
    hand.go("plate", plate, "develop")
    hand.hear("pour")
    hand.hear("plate", plate, "flood")
    hand.go("plate", plate, "stop")
    hand.work()


def fix(hand: HandByEar, plate: str, then: str) -> None:
    """Fix a plate until it is called to what comes then."""
    hand.go("plate", plate, "fix")
    time.sleep(CLEARED)
    hand.go("plate", plate, "cleared")
    hand.hear("plate", plate, then)


@pytest.mark.slow
def test_three_plates_by_ear(listening: Any, capture: Any, tmp_path: Path) -> None:
    """Three plates are carried to the rack by pedals and voice, one washing while the next is in the bath.

    What is told is heard whole; a stray go in the bath is asked about aloud and answered no; the cyanide's
    caution is heard before the cyanide.
    """
    home = tmp_path / "home"
    for (name, short), shipped in zip(PROCESSES.items(), short_processes.THREE, strict=True):
        short_processes.write_one(home / "profiles" / f"{name}.yaml", shipped, short)
    (home / "settings.yaml").write_text("key_map: three-pedals\n")
    (home / "bench.json").write_text('{"form": {"process": "1-tintype"}}')
    dry = Photographer(home, **{**listening.env, "XDG_STATE_HOME": str(tmp_path / "state")})
    with dry.terminal:
        dry.open()
        put_on(dry, "1-tintype")
        hand = HandByEar(dry.terminal.send, capture)
        assert len({hand.ear.known[word_stem(number)].tobytes() for number in "123"}) == 3
        to_bath(hand, "1")
        lift_to_stop(hand, "1")
        fix(hand, "1", "wash")
        hand.go("plate", "1", "wash")

        choose(dry, "Home")
        put_on(dry, "2-negative")
        hand.hear("plate", "1", "rack")
        to_bath(hand, "2")
        rack_other(hand, "1", "2")
        hand.go("again to", "lift")
        hand.press("undo")
        hand.hear("plate", "2", "answered no it goes on")
        lift_to_stop(hand, "2")
        fix(hand, "2", "rinse")
        hand.go("plate", "2", "rinse")
        hand.hear("plate", "2", "intensify")
        hand.go("plate", "2", "intensify")
        hand.work()
        hand.go("plate", "2", "wash")

        choose(dry, "Home")
        put_on(dry, "3-cyanide")
        hand.hear("plate", "2", "rack")
        to_bath(hand, "3")
        rack_other(hand, "2", "3")
        hand.press("tell")
        hand.hear("plate", "3", "sensitise")
        hand.hear("seconds left", "then", "lift")
        lift_to_stop(hand, "3")
        hand.go("plate", "3", "rinse")
        hand.hear_each(("plate", "3", "fix"), ("cyanide kills", "not alone not in a closed dark box"))
        fix(hand, "3", "wash")
        hand.go("plate", "3", "wash")
        hand.hear("plate", "3", "rack")
        hand.go("plate", "3", "dry")

        dry.terminal.kill(signal.SIGTERM)
        assert dry.terminal.wait() == 128 + signal.SIGTERM
        assert audit(dry.terminal.data) == []

    plates = journal(home)
    assert [[line["stage"] for line in lines if line["event"] == "stage_ended"] for lines in plates] == STAGES
    racked = [next(line["up"] for line in lines if line["event"] == "racked") for lines in plates]
    assert plates[1][0]["up"] < racked[0] and plates[2][0]["up"] < racked[1], "the plates overlap"
    asked = [[line.get("asks") for line in lines if line["event"] == "refused"] for lines in plates]
    assert asked == [[], ["short", None], []]
    assert run(home, "log", "check").returncode == 0
