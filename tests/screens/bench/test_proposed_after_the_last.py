"""Behind a plate that waits for nothing stands the plate that the menu proposes."""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom.bench import intents as want
from darkroom.bench.all_plates import Bench
from darkroom.screens.bench import screen as bench_screen
from darkroom.screens.bench.rail import BenchStatus
from darkroom.screens.host import Host
from tests.kit.bench import Hand
from tests.kit.bench_screen import shown
from tests.kit.review_hand import Looker, looking, make_sensitive, put_plate

PROPOSED = "8 s, 5 to 13"
HINT = f"in the menu: new plate, {PROPOSED}"


def test_the_hint_stands_behind_a_plate_that_waits_for_nothing() -> None:
    """Behind a plate given up, and on an empty bench, it is what comes next; never while it runs."""
    hand = Hand()
    status = BenchStatus(proposed=PROPOSED)
    assert HINT in shown(hand, 1.0, 80, 24, status)
    now = hand.to_stage("fix")
    assert HINT not in shown(hand, now, 80, 24, status)
    hand.do(now + 1.0, want.Abandon("fogged"))
    assert HINT in shown(hand, now + 2.0, 80, 24, status)
    assert "in the menu" not in shown(hand, now + 2.0, 80, 24)


def test_the_bench_asks_the_menu_while_its_plate_waits_for_nothing(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A plate in work is not asked for; given up, the same words as in the menu stand below it."""
    asked: list[Bench] = []

    def proposed_next(tool: Host) -> tuple[str, float]:
        asked.append(tool.session.bench)
        return PROPOSED, 8.0

    monkeypatch.setattr(bench_screen, "proposed_next", proposed_next)

    async def steps(hand: Looker) -> None:
        put_plate(hand.tool)
        hand.tool.to_bench()
        await make_sensitive(hand)
        await hand.wait("stays down in the holder")
        assert all(not bench.plates for bench in asked)
        hand.tool.intend(want.Abandon("fogged"))
        await hand.wait(HINT)

    looking(home, steps, text=None)
