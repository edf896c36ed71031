"""The menu on a terminal's screen: which row is highlighted, and how to get to another."""

from __future__ import annotations

import time
from collections.abc import Sequence

from darkroom.session.actions import MENU
from tests.kit.terminal import Terminal

NUDGE = 0.2
"""Seconds between an arrow and the key before it: for 0.15 s another zone is locked, and arrows are one."""
LABELS = [action.label for action in MENU]
FIRST = LABELS[0]


def highlighted(terminal: Terminal) -> str:
    """Return the label of the menu's highlighted row, which is drawn on another ground; "" without one."""
    for row in terminal.cells():
        line = "".join((cell.text or " ")[:1] for cell in row)
        for label in LABELS:
            x = line.find(f" {label} ") + 1
            if x > 0 and row[x].background != row[x - 1].background:
                return label
    return ""


def move_to(label: str, terminals: Sequence[Terminal]) -> None:
    """Move the highlight of each terminal's menu from its first row to this one, by the shorter way.

    Each press waits until every menu has taken the last one.
    """
    for terminal in terminals:
        terminal.wait_until(lambda terminal=terminal: highlighted(terminal) == FIRST)  # type: ignore[misc]
    key = "down" if _downs(terminals[0].screen(), label) <= len(LABELS) - LABELS.index(label) else "up"
    for _ in LABELS:
        time.sleep(NUDGE)
        before = [highlighted(terminal) for terminal in terminals]
        if all(row == label for row in before):
            return
        for terminal in terminals:
            terminal.send(key)
        for terminal, row in zip(terminals, before, strict=True):
            terminal.wait_until(lambda terminal=terminal, row=row: highlighted(terminal) not in ("", row))  # type: ignore[misc]
    raise AssertionError(f"no row '{label}' in the menu:\n{terminals[0].screen()}")


def _downs(screen: str, label: str) -> int:
    """Return how many presses below the first row a label is: rows with a reason against them are none."""
    count = 0
    for above in LABELS[: LABELS.index(label)]:
        count += f"{above}     " in screen
    return count
