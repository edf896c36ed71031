"""The machine is kept awake while a plate is on the bench, and by nothing once the tool is gone."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests.kit.keeps_awake import INHIBIT, KeepsAwake, runs
from tests.kit.photographer import Photographer

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="logind is Linux's")
PROCESS = """
name: Two steps
sensitive: never
stages:
  - {name: coat, light: white, ends: by_eye, starts: on_strike}
  - {name: dry, light: white, ends: by_eye, rack: true}
"""


def test_a_plate_on_the_bench_keeps_the_machine_awake(tmp_path: Path) -> None:
    """From the form to the rack the lock is held, and again after; kill -9 of the tool lets it go."""
    programs = KeepsAwake(tmp_path)
    programs.put("systemd-inhibit", INHIBIT)
    (tmp_path / "two.yaml").write_text(PROCESS)
    hand = Photographer(tmp_path / "home", 80, 24, PATH=programs.path)

    def held(processes: int) -> bool:
        return sum(map(runs, programs.pids())) == processes

    with hand.terminal:
        hand.open("bench", str(tmp_path / "two.yaml"))
        hand.terminal.wait_until(lambda: held(2))
        hand.strike_until("Press when coat is done")
        hand.press("space")
        hand.wait("On the rack, drying")
        hand.terminal.wait_until(lambda: held(0))
        hand.press("escape")
        hand.wait("New plate like the last")
        hand.press("space")
        hand.wait("Press to start coat")
        hand.terminal.wait_until(lambda: held(2))
        hand.terminal.kill()
        hand.terminal.wait_until(lambda: held(0))
    assert len(programs.asked()) == 2


def test_a_plate_that_comes_back_keeps_the_machine_awake(tmp_path: Path) -> None:
    """After a restart the lock is held for the plate on the bench; leaving lets it go."""
    programs = KeepsAwake(tmp_path)
    (tmp_path / "two.yaml").write_text(PROCESS)
    hand = Photographer(tmp_path / "home", 80, 24, PATH=programs.path)
    with hand.terminal:
        hand.open("bench", str(tmp_path / "two.yaml"))
        hand.strike_until("Press when coat is done")
        hand.terminal.kill()
    programs.put("systemd-inhibit", INHIBIT)
    hand = Photographer(tmp_path / "home", 80, 24, PATH=programs.path)
    with hand.terminal:
        hand.open()
        hand.terminal.wait_until(lambda: sum(map(runs, programs.pids())) == 2)
        hand.terminal.hang_up()
        hand.terminal.wait_until(lambda: not any(map(runs, programs.pids())))
