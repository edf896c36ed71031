"""The menu on a terminal's screen: which row is highlighted, and how to get to another."""

from __future__ import annotations

import time
from collections.abc import Sequence
from contextlib import suppress

from darkroom.screens.widgets.chooser import PLATE_FIRST
from darkroom.session.actions import LEAVE_OUT, MENU
from tests.kit.terminal import Terminal

NUDGE = 0.2
"""Seconds between an arrow and the key before it: for 0.15 s another zone is locked, and arrows are one."""
LABELS = [action.label for action in (*MENU, LEAVE_OUT)]
FIRST = LABELS[0]


def highlighted(terminal: Terminal) -> str:
    """Return the label of the menu's highlighted row, which is drawn on another ground; "" without one."""
    for y, line in enumerate(terminal.screen().splitlines()):
        for label in LABELS:
            x = line.find(f" {label} ")
            if x > 0 and terminal.background(x, y) != terminal.background(x - 1, y):
                return label
    return ""


def move_to(label: str, terminals: Sequence[Terminal]) -> None:
    """Move the highlight of each terminal's menu from its first row to this one, by the shorter way.

    Before each press the highlights have stood still; a menu that went too far goes back. Where a plate
    cannot wait no row is highlighted at first: an arrow takes the first one.
    """
    for terminal in terminals:
        terminal.wait_until(lambda t=terminal: highlighted(t) == FIRST or PLATE_FIRST[:30] in t.screen())  # type: ignore[misc]
        if highlighted(terminal) != FIRST:
            terminal.send("down")
            terminal.wait_until(lambda t=terminal: highlighted(t) == FIRST)  # type: ignore[misc]
    target = LABELS.index(label)
    around = len(LABELS) - target < target
    for _ in range(2 * len(LABELS)):
        places = _steady(terminals)
        if all(place == label for place in places):
            return
        for terminal, place in zip(terminals, places, strict=True):
            if place != label:
                over = LABELS.index(place) > target or (around and place == FIRST)
                terminal.send("up" if over else "down")
        for terminal, place in zip(terminals, places, strict=True):
            if place != label:
                with suppress(TimeoutError):  # pressed on for 3 s it is held: again, after a pause
                    terminal.wait_until(lambda t=terminal, p=place: highlighted(t) not in ("", p), 2.0)  # type: ignore[misc]
    raise AssertionError(f"no row '{label}' in the menu:\n{terminals[0].screen()}")


def _steady(terminals: Sequence[Terminal]) -> list[str]:
    """Return each menu's highlighted row, once all have stood still for the time between two presses."""
    places = [highlighted(terminal) for terminal in terminals]
    for _ in range(100):
        time.sleep(NUDGE)
        before, places = places, [highlighted(terminal) for terminal in terminals]
        if "" not in places and places == before:
            return places
    raise AssertionError(f"no menu stands still:\n{terminals[0].screen()}")
