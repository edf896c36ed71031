"""Plates taken through the tool in a real terminal: killed half way, continued, read back."""

from __future__ import annotations

import json
import signal
import time
from pathlib import Path

import pytest

from tests.kit.audit import audit
from tests.kit.photographer import CHANGED, Photographer, journal, run, shortened


def stages(lines: list[dict]) -> list[str]:
    """Return the names of the stages that were ended, in order."""
    return [line["stage"] for line in lines if line["event"] == "stage_ended"]


WHOLE = [
    "coat", "sensitise", "drain", "expose", "develop", "stop", "fix", "wash", "dry", "warm",
    "varnish", "cure",
]  # fmt: skip
"""The stages of clear glass, from the first strike to the varnished plate."""


@pytest.mark.slow
def test_two_overlapping_plates_killed_and_continued(tmp_path: Path) -> None:
    """Two plates at once, SIGKILL in the bath; both go on with the right time, and one is varnished."""
    home = tmp_path / "home"
    hand = Photographer(home)
    with hand.terminal:
        hand.open("bench", str(shortened(tmp_path)), "--exposure", "2s", "--subject", "Jug and pear")
        hand.to_wash()
        hand.second_plate()
        hand.strike("sensitise")
        hand.strike("drain")
        hand.terminal.wait_until(
            lambda: any(
                line["event"] == "stage_started" and line["stage"] == "sensitise" for line in journal(home)[1]
            )
        )
        hand.terminal.kill(signal.SIGKILL)
        hand.terminal.wait()
        assert audit(hand.terminal.data) == []

    killed = time.time()
    saved = journal(home)
    again = Photographer(home)
    with again.terminal:
        again.open()
        again.called_to("RACK", "DRY", "LIFT")
        second = journal(home)[1]
        resumed = [line for line in second if line["event"] == "resumed"]
        assert len(resumed) == 1 and resumed[0]["by"] == "up"
        assert 0 <= resumed[0]["gap"] <= time.time() - killed + 15
        for before, now in zip(saved, journal(home), strict=True):
            assert now[: len(before)] == before
        started = next(
            line for line in second if line["event"] == "stage_started" and line["stage"] == "sensitise"
        )
        if not again.is_called_to("LIFT"):
            time.sleep(CHANGED)
            again.press("space")
        again.called_to("LIFT")
        time.sleep(CHANGED)
        again.strike("expose")
        lifted = next(line for line in journal(home)[1] if line["event"] == "stage_ended"
                      and line["stage"] == "sensitise")  # fmt: skip
        assert lifted["seconds"] == pytest.approx(lifted["up"] - started["up"], abs=0.002)  # both are rounded
        again.expose_to_wash()
        again.rack(2)
        again.varnish_from_rack()
        again.terminal.kill(signal.SIGTERM)
        assert again.terminal.wait() == 128 + signal.SIGTERM
        assert audit(again.terminal.data) == []

    plates = journal(home)
    (done,) = [lines for lines in plates if lines[-1]["event"] == "plate_ended"]
    assert stages(done) == WHOLE and done[-1]["how"] == "done"
    (other,) = [lines for lines in plates if lines is not done]
    assert stages(other) == WHOLE[: WHOLE.index("dry")]
    listed = json.loads(run(home, "log", "list", "--json").stdout)
    assert {plate["number"]: plate["how"] for plate in listed} == {
        done[0]["number"]: "done", other[0]["number"]: None,
    }  # fmt: skip
    shown = run(home, "log", "show", str(done[0]["number"]))
    assert shown.returncode == 0
    for stage in WHOLE:
        assert stage in shown.stdout
    assert run(home, "log", "check").returncode == 0
