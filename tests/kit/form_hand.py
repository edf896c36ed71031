"""A photographer's hand in forms and lists of a real terminal: to a field or a row by its words."""

from __future__ import annotations

import time

from tests.kit.photographer import Photographer


def typed(hand: Photographer, words: str) -> None:
    """Type words with dry hands."""
    for sign in words:
        hand.terminal.send(sign)
        time.sleep(0.02)


def fill(hand: Photographer, **texts: str) -> None:
    """Type each text into the field whose label begins with the name's words."""
    for name, text in texts.items():
        go_to(hand, name.replace("_", " "))
        typed(hand, text)
        hand.wait(text[-10:])


def go_to(hand: Photographer, label: str) -> None:
    """Move down to the field of this label."""
    for _ in range(40):
        if current(hand, label):
            return
        hand.arrow("down")
    raise AssertionError(f"no field {label!r}:\n{hand.terminal.screen()}")


def current(hand: Photographer, label: str) -> bool:
    """Return whether the hand is in the field of this label: its value stands on another ground."""
    for y, row in enumerate(hand.terminal.screen().splitlines()):
        x = row.find(label)
        if x >= 0:
            return hand.terminal.background(x + 20, y) != hand.terminal.background(x, y)
    return False


def choose(hand: Photographer, label: str) -> None:
    """Move to the row of a list that begins with this, and choose it."""
    for _ in range(40):
        if is_highlighted(hand, label):
            hand.press("space")
            return
        hand.arrow("down")
    raise AssertionError(f"no row {label!r}:\n{hand.terminal.screen()}")


def is_highlighted(hand: Photographer, label: str) -> bool:
    """Return whether a row of a list stands on another ground than the page beside it."""
    for y, row in enumerate(hand.terminal.screen().splitlines()):
        x = row.find(f" {label}")
        if x > 0 and hand.terminal.background(x + 1, y) != hand.terminal.background(x - 1, y):
            return True
    return False
