"""The bench is drawn once for a strike: what was decided before it was drawn is not drawn again."""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom.bench.view import BenchView
from darkroom.log.journal.write import Saved
from darkroom.screens.bench.screen import BenchScreen
from tests.kit.review_hand import Looker, looking, put_plate


def _counted(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """Return the list in which each drawing of the bench is noted from now on."""
    drawn: list[float] = []
    draw = BenchScreen.draw

    def noted(screen: BenchScreen, view: BenchView, now: float) -> None:
        drawn.append(now)
        draw(screen, view, now)

    monkeypatch.setattr(BenchScreen, "draw", noted)
    return drawn


def test_what_is_drawn_already_is_not_drawn_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A change that a draw has followed is not drawn again; one that comes behind the screen is, at once."""
    drawn = _counted(monkeypatch)

    async def steps(hand: Looker) -> None:
        put_plate(hand.tool)
        hand.tool.to_bench()
        await hand.pilot.pause(0.3)
        bench = hand.tool.bench_screen
        drawn.clear()
        hand.tool.soon()
        bench.wake()
        bench.wake()  # no change lies between: two looks at the clock
        assert len(drawn) == 2
        hand.tool._draw_again()
        assert len(drawn) == 2
        hand.tool.soon()
        hand.tool._draw_again()
        assert len(drawn) == 3

    looking(tmp_path, steps, text=None)


def test_a_saved_line_is_drawn_where_the_screen_says_that_it_is_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A report that all is saved has the bench drawn only where it tells of something unsaved."""

    async def steps(hand: Looker) -> None:
        put_plate(hand.tool)
        hand.tool.to_bench()
        await hand.pilot.pause(0.3)
        bench = hand.tool.bench_screen
        bench.wake()
        assert not bench.is_stale and not bench.tells_unsaved
        hand.tool.take_report(Saved(plate="", n=1))
        assert not bench.is_stale
        monkeypatch.setattr(hand.tool, "unsaved", lambda: ("plate 1",))
        bench.wake()
        assert bench.tells_unsaved
        hand.tool.take_report(Saved(plate="", n=1))
        assert bench.is_stale

    looking(tmp_path, steps, text=None)
