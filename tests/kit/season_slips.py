"""What does not go as planned with a plate of the season: taken back, moved, resumed, read, corrected."""

from __future__ import annotations

import random
from typing import Any, Protocol

from darkroom.bench import events as ev


class Says(Protocol):
    """The hand that writes a plate's lines; `n` is the number of the last."""

    n: int
    up: float

    def say(self, kind: type[Any], /, *, dry: bool = False, **members: Any) -> int:
        """Write a line; return its number."""


def bottles(slips: random.Random) -> dict[str, Any]:
    """Return the members of a stage's start with which a bottle changes, mostly none."""
    if slips.random() > 0.02:
        return {}
    return {"bottles": {"fixer": "F77"}, "bottle_ids": {"fixer": "fixer-77"}}


def within(hand: Says, slips: random.Random, stage: str, celsius: float) -> None:
    """Write what happens within a stage, before it ends."""
    chance = slips.random()
    if chance < 0.15:
        source = slips.choice(("room", "bath", "developer", "fixer"))
        hand.say(ev.Temperature, source=source, celsius=round(celsius + slips.gauss(0, 1), 1), from_="hand")
    elif chance < 0.2:
        hand.say(ev.Humidity, percent=float(slips.randint(30, 90)), from_="hand")
    elif chance < 0.25:
        hand.say(ev.Mark)
    elif chance < 0.28:
        hand.say(ev.Refused, intent="go", reason="too early", asks="short", stage=stage)
    elif chance < 0.3:
        hand.say(ev.Clock, kind=slips.choice(("slept", "stalled")), seconds=3.0)
    elif chance < 0.32:
        hand.say(ev.Resumed, gap=2.0, by=slips.choice(("up", "wall")), boot="season")
    elif chance < 0.34:
        hand.say(ev.WetTimeSet, seconds=slips.choice((None, 240.0)))


def after(hand: Says, slips: random.Random, n: int) -> bool:
    """Write what is done to the end of a stage, line `n`; return whether it is to be struck again."""
    chance = slips.random()
    if chance < 0.03:
        hand.say(ev.Moved, moves=(n,), seconds=-5.0)
    elif chance < 0.05:
        hand.say(ev.Moved, dry=True, moves=(n,), seconds=3.0, reason="struck too early")
    elif chance < 0.09:
        undone = hand.say(ev.Undone, undoes=(n,), held=False)
        if chance > 0.075:  # put back: the end stands after all
            hand.say(ev.Undone, undoes=(undone,), held=False)
            return False
        return True
    return False


def judge_again(hand: Says, slips: random.Random) -> None:
    """Judge once more: corrections, withdrawals, words for marks, causes and answers, details that count."""
    first = hand.say(ev.Rating, dry=True, stars=slips.randint(1, 5), exposure_stops=0.5, exposure_word="more")
    if slips.random() < 0.5:
        hand.say(ev.Rating, dry=True, stars=3, corrects=first, reason="a second look")
    fault = hand.say(
        ev.Fault, dry=True, name="general fog", cause=slips.choice((None, "over-exposed", "warm developer")),
        answers=slips.choice((None, {"Is it grey?": "yes"})),
    )  # fmt: skip
    if slips.random() < 0.3:
        hand.say(ev.Fault, dry=True, name="comets", where="centre", corrects=fault)
    if slips.random() < 0.3:
        hand.say(ev.Rating, dry=True, nothing_else=slips.choice((True, ["fog", "comets"])))
    if slips.random() < 0.3:
        hand.say(ev.Note, dry=True, text="the image showed", about=slips.randint(2, hand.n))
    if slips.random() < 0.3:
        hand.say(ev.Detail, dry=True, key=slips.choice(("first seen", "exposed", "scan")), value="12 s")
