"""A plate of the bench in a few words, its times as they are drawn, and the light in a sentence."""

from __future__ import annotations

from darkroom.bench.view import LargeTime, PlateView, WetView
from darkroom.process.text.durations import show_elapsed, show_left
from darkroom.screens.widgets.rows import Row, Span, clip, width

LIGHT_SENTENCE = {"white": "room light is safe", "red": "safelight only", "covered": "plate covered"}

LIGHT_WORDS = {"white": "ROOM LIGHT", "red": "SAFELIGHT", "covered": "COVERED"}


def time_text(view: PlateView) -> str:
    """Return the stage's time as it is drawn: what is left rounds up, what has gone by rounds down."""
    return large_time_text(LargeTime(view.shape, view.seconds, view.fraction))


def large_time_text(time: LargeTime) -> str:
    """Return a time as it is drawn; an overrun has a plus before it, the time past wet a minus."""
    if time.shape == "lead_in":
        return str(max(0, _up(time.seconds)))
    if time.shape in ("down", "wet"):
        return show_left(time.seconds)
    sign = {"over": "+", "past_wet": "-"}.get(time.shape, "")
    return sign + show_elapsed(time.seconds)


def _up(seconds: float) -> int:
    whole = int(seconds)
    return whole + (1 if seconds - whole > 1e-9 else 0)


DOUBTS = {
    False: ("times estimated after a restart", "times estimated", "estimated"),
    True: ("times at least, after a restart", "times at least", "at least"),
}
"""{whether the wall clock was behind at the restart: what is told of the times, the longest form first}."""


def doubts(view: PlateView) -> tuple[str, ...]:
    """Return what makes the plate's times doubtful, the longest form first; empty where they are exact."""
    return DOUBTS[view.at_least] if view.estimated else ()


def doubt(view: PlateView, columns: int) -> str:
    """Return what makes the plate's times doubtful in the longest form that `columns` cells hold.

    It is told at every size of the screen: where no form fits, the shortest is returned; "" for exact times.
    """
    forms = doubts(view)
    return next((form for form in forms if width(form) <= columns), forms[-1] if forms else "")


def wet_row(wet: WetView | None) -> Row:
    """Return the wet clock in a few words."""
    if wet is None:
        return []
    if wet.past:
        return [(f" past wet {show_elapsed(-wet.left)} ", "reversed")]
    assumed = " assumed" if wet.assumed else ""
    if wet.back_now:
        return [(f" back now: wet {show_left(wet.left)}{assumed} ", "reversed")]
    return [(f"wet {show_left(wet.left)}{assumed}", "loud" if wet.left <= 120 else "text")]


def wet_name(view: PlateView) -> str:
    """Return what the large time is called while it is the wet clock's, else ""."""
    if view.wet is None or view.large_time.shape not in ("wet", "past_wet"):
        return ""
    return "PAST WET" if view.wet.past else "BACK NOW" if view.wet.back_now else "WET"


def second_time(view: PlateView) -> Row:
    """Return the time that is not large: the wet clock's, or the stage's while the wet clock is large."""
    if view.large_time.shape not in ("wet", "past_wet"):
        return wet_row(view.wet)
    if view.shape == "ready" and not view.seconds:
        return [(f"{view.stage.shown} ready", "text")]
    urgent = view.calling is not None
    text = f"{view.stage.shown} {time_text(view)}"
    return [(f" {text} ", "reversed") if urgent else (text, "text")]


def rail_entry(view: PlateView, columns: int = 80) -> Span:
    """Return one plate of the rail: number, stage, its time or its wet clock, and whether that is estimated.

    The stage's name gives way where `columns` cells do not hold them all.
    """
    if view.wet is not None:
        time = "past wet" if view.wet.past else f"wet {show_left(view.wet.left)}"
    elif view.shape == "ready":
        time = "ready"
    elif view.shape == "over":
        time = f"over {show_elapsed(view.seconds)}"
    elif view.shape == "held":
        time = "held"
    else:
        time = time_text(view)
    number = f" {view.number or '+'} "
    after = f" {time} {_short_doubt(view)}".rstrip() + " "
    name = clip(view.stage.shown, max(1, columns - width(number) - width(after)))
    urgent = view.calling is not None or (view.wet is not None and (view.wet.past or view.wet.back_now))
    return f"{number}{name}{after}", "reversed" if urgent else "text"


def _short_doubt(view: PlateView) -> str:
    """Return "estimated"; with the wall clock behind, "at least" of a time gone by, "at most" of one left."""
    if not view.estimated or not view.at_least:
        return "estimated" if view.estimated else ""
    is_left = view.shape in ("down", "lead_in") if view.wet is None else not view.wet.past
    return "at most" if is_left else "at least"
