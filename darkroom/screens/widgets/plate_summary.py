"""A plate of the bench in a few words, its time as it is drawn, and the light in a sentence."""

from __future__ import annotations

from darkroom.bench.view import PlateView
from darkroom.process.text.durations import show_elapsed, show_left
from darkroom.screens.widgets.rows import Span

LIGHT_SENTENCE = {
    "white": "room light is safe",
    "red": "safelight only",
    "covered": "plate covered, keep it shut",
}


def time_text(view: PlateView) -> str:
    """Return the time as it is drawn: what is left rounds up, what has gone by rounds down."""
    if view.shape in ("down", "lead_in"):
        return show_left(view.seconds) if view.shape == "down" else str(max(0, _up(view.seconds)))
    if view.shape == "ready" and view.seconds == 0:
        return "0:00"
    return show_elapsed(view.seconds)


def _up(seconds: float) -> int:
    whole = int(seconds)
    return whole + (1 if seconds - whole > 1e-9 else 0)


def rail_entry(view: PlateView) -> Span:
    """Return one plate of the rail: number, stage, its time or its wet clock."""
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
    text = f" {view.number or '+'} {view.stage.shown} {time} "
    urgent = view.calling is not None or (view.wet is not None and (view.wet.past or view.wet.back_now))
    return text, "reversed" if urgent else "text"
