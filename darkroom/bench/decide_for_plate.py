"""What an intent does to one plate, large or not. Pure.

A list or a typed line is for the plate that was large when it was opened; the large place goes where it is
needed meanwhile.
"""

from __future__ import annotations

from msgspec.structs import replace

from darkroom.bench import refusals
from darkroom.bench.all_plates import Bench, with_large
from darkroom.bench.decide_all import decide_intent
from darkroom.bench.intents import Cause, Decision, Intent


def decide_for_plate(bench: Bench, plate: str | None, intent: Intent, cause: Cause) -> Decision:
    """Return what the intent does to the plate of this key, by default to the large one. Never raises."""
    if plate is None:
        return decide_intent(bench, intent, cause)
    if plate not in bench.plates:
        return Decision(refusal=refusals.FINISHED)
    return replace(decide_intent(with_large(bench, plate), intent, cause), meant_for=plate)
