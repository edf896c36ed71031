"""Plates taken through the tool in a real terminal: killed half way, continued, read back."""

from __future__ import annotations

import json
import signal
import time
from pathlib import Path

from tests.kit.audit import audit
from tests.kit.photographer import Photographer, journal, run, shortened
from tests.kit.svg import svg

PICTURE = Path(__file__).parent.parent / "pictures" / "bench.svg"


def stages(lines: list[dict]) -> list[str]:
    """Return the names of the stages that were ended, in order."""
    return [line["stage"] for line in lines if line["event"] == "stage_ended"]


def test_one_plate_then_two_overlapping_killed_and_continued(tmp_path: Path) -> None:
    """One whole plate; then two at once, SIGKILL in the bath, and both go on with the right time."""
    home = tmp_path / "home"
    short = shortened(tmp_path)
    hand = Photographer(home)
    with hand.terminal:
        hand.open("bench", str(short), "--exposure", "2s", "--subject", "Jug and pear")
        hand.to_wash()
        hand.wait("Wash is done")
        hand.press("space")
        hand.wait("rack 1")
        hand.press("escape")
        hand.wait("Take a plate from the rack")
        hand.press("down")
        hand.press("space")
        hand.wait("finish unvarnished")
        hand.press("space")
        hand.wait("then varnish")
        hand.strike("varnish")
        hand.strike("Warm again")
        hand.press("space")
        hand.wait("Warm again until")
        hand.press("space")
        hand.wait("This plate is done")
        first = journal(home)[0]
        assert stages(first) == [
            "coat",
            "sensitise",
            "drain",
            "expose",
            "develop",
            "stop",
            "fix",
            "wash",
            "dry",
            "warm",
            "varnish",
            "cure",
        ]
        assert first[-1]["event"] == "plate_ended" and first[-1]["how"] == "done"

        hand.second_plate()
        hand.to_wash()
        hand.second_plate()
        hand.strike("sensitise")
        hand.strike("drain")
        hand.terminal.settle(0.2, 2)
        hand.terminal.kill(signal.SIGKILL)
        hand.terminal.wait()
        assert audit(hand.terminal.data) == []

    killed = time.time()
    saved = journal(home)
    again = Photographer(home)
    with again.terminal:
        again.open()
        again.wait(lambda screen: "Wash is done" in screen or "Ready to lift" in screen)  # type: ignore[arg-type]
        third = journal(home)[2]
        resumed = [line for line in third if line["event"] == "resumed"]
        assert len(resumed) == 1 and resumed[0]["by"] == "up"
        for before, now in zip(saved, journal(home), strict=True):
            assert now[: len(before)] == before
        started = next(
            line for line in third if line["event"] == "stage_started" and line["stage"] == "sensitise"
        )
        assert time.time() - killed < 15
        if "Wash is done" in again.terminal.screen():
            time.sleep(1.2)  # a strike in the first second after the large place changed is refused
            again.press("space")
        again.wait("Ready to lift")
        time.sleep(1.2)
        again.strike("expose")
        PICTURE.parent.mkdir(exist_ok=True)
        PICTURE.write_text(svg(again.terminal.cells()), encoding="utf-8")
        lifted = next(line for line in journal(home)[2] if line["event"] == "stage_ended"
                      and line["stage"] == "sensitise")  # fmt: skip
        assert abs(lifted["seconds"] - (lifted["up"] - started["up"])) < 0.01
        again.terminal.kill(signal.SIGTERM)
        assert again.terminal.wait() == 128 + signal.SIGTERM
        assert audit(again.terminal.data) == []

    listed = json.loads(run(home, "log", "list", "--json").stdout)
    assert sorted(plate["number"] for plate in listed) == [1, 2, 3]
    assert {plate["number"]: plate["how"] for plate in listed} == {1: "done", 2: None, 3: None}
    shown = run(home, "log", "show", "1")
    assert shown.returncode == 0
    for stage in stages(first):
        assert stage in shown.stdout
    assert run(home, "log", "check").returncode == 0
