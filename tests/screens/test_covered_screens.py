"""A screen that another covers draws nothing; the bench below goes on deciding what is due."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual.app import App

from darkroom.screens.widgets.face import Face
from tests.kit.review_hand import Looker, looking, put_plate


def test_the_toolkit_still_asks_for_the_screens_that_show_through() -> None:
    """The property that we replace is the toolkit's own: no screen of ours shows through another."""
    assert isinstance(vars(App)["_background_screens"], property)


def test_a_covered_bench_draws_nothing_and_goes_on_ticking(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With a menu over a counting bench only the menu is drawn; the bench is drawn again when it is seen."""
    drawn: list[Face] = []
    painted: list[Any] = []
    put, line = Face.put, Face.render_line

    def noted_put(face: Face, *args: Any) -> None:
        drawn.append(face)
        put(face, *args)

    def noted_line(face: Face, y: int) -> Any:
        painted.append(face)
        return line(face, y)

    async def steps(hand: Looker) -> None:
        put_plate(hand.tool)
        hand.tool.to_bench()
        await hand.press("space")
        await hand.pilot.pause(0.1)
        bench = hand.tool.bench_screen
        hand.tool.open_menu()
        await hand.pilot.pause(0.3)
        monkeypatch.setattr(Face, "put", noted_put)
        monkeypatch.setattr(Face, "render_line", noted_line)
        ticks: list[float] = []
        tick = hand.tool.session.tick
        monkeypatch.setattr(
            hand.tool.session, "tick", lambda: (ticks.append(hand.tool.session.now()), tick())
        )
        bench_woke: list[None] = []
        wake = bench.wake
        monkeypatch.setattr(bench, "wake", lambda: (bench_woke.append(None), wake()))
        for _ in range(20):
            await hand.later(0.3)
        await hand.pilot.pause(0.6)
        menu = hand.tool.screen.face  # type: ignore[attr-defined]
        assert drawn and painted, "the menu's clocks go on"
        assert {id(face) for face in (*drawn, *painted)} == {id(menu)}
        assert bench_woke, "the bench below looks at the clocks"
        drawn.clear()
        hand.tool.pop_screen()
        await hand.pilot.pause(0.3)
        assert bench.face in drawn

    looking(tmp_path, steps, text=None)
