"""Between the bench and the rack: when a plate's journal is given to others, and how it is taken back."""

from __future__ import annotations

from msgspec.structs import replace

from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench.all_plates import Bench
from darkroom.bench.fold import fold
from darkroom.bench.state import STEPS, PlateState
from darkroom.errors import DarkroomError
from darkroom.session.protocols import TakeBack

GIVEN_AFTER = 60.0
"""A finished or racked plate's journal is given away so long after its last step, in seconds.

Until then that step is easily taken back.
"""
RackIntent = want.FromRack | want.FinishUnvarnished


def due_to_leave(bench: Bench, now: float, pace: float) -> list[PlateState]:
    """Return the plates that are finished or racked for longer than a minute and still held by the bench."""
    return [
        state
        for key, state in bench.plates.items()
        if (state.phase == "ended" or state.racked)
        and key not in bench.handed_over
        and now - _last_step(state, now) >= GIVEN_AFTER * pace
    ]


def _last_step(state: PlateState, now: float) -> float:
    """Return when the plate's last step was made, taken back or put back, in seconds on the boot clock."""
    steps = (*STEPS, ev.Racked, ev.Undone, ev.Resumed)
    ups = [line.up for line in state.lines if isinstance(line, steps) and line.up is not None]
    return max(ups[-1:], default=now)


def with_journal_back(
    bench: Bench, intent: RackIntent, take_back: TakeBack
) -> tuple[Bench, RackIntent] | str:
    """Return the bench with the plate as its journal is now, and the intent to decide; or why not.

    A plate that was not handed over stays as it is.
    """
    state = bench.plates.get(intent.plate)
    if state is None or intent.plate not in bench.handed_over:
        return bench, intent
    name = f"plate {state.number}"
    try:
        taken_back = take_back(intent.plate)
        if taken_back is None:
            return bench, intent
        now_in_journal = fold(taken_back.lines)
    except DarkroomError as error:
        return f"{name}: {error}"
    except (ValueError, KeyError):
        return f"{name}: its journal cannot be read back"
    plates = {**bench.plates, intent.plate: now_in_journal}
    return replace(bench, plates=plates), replace(intent, back=taken_back.back)
