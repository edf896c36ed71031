"""When a fault began, and what was new then. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from darkroom.faults import runs
from darkroom.faults import usual as usuals
from darkroom.faults.answer import Began
from darkroom.faults.history import PlateFigures
from darkroom.process.model import ROLES
from darkroom.process.uses import role_text

CHANGED_CELSIUS = 3.0
"""A temperature that differs by less is no news (our own choice: it changes a development by a fifth)."""
DONE = {
    "topped_up": "topped up",
    "boiled_down": "boiled down",
    "acid": "given acid",
    "alkali": "given alkali",
}
"""What was done to a bottle, where its word in the book is not the one for people."""
_TEMPERATURES: tuple[tuple[str, usuals.Value], ...] = (
    ("room", usuals.room_celsius),
    ("bath", usuals.bath_celsius),
    ("developer", usuals.developer_celsius),
)


def began(plate: PlateFigures, history: Sequence[PlateFigures], fault: str) -> Began | None:
    """Return when a fault of this plate began; None where the plate is not marked with it.

    `history` are plates of all processes, oldest first; what comes after this plate does not count.
    """
    earlier = usuals.before(plate, history)
    run = runs.run_up_to(plate, earlier, (fault,))
    if run is None:
        return None
    before_run = usuals.before(run.first, earlier)
    others = [role for role in ROLES if runs.is_new(run, role)]
    back = [role for role in others if runs.used_before(run, role, earlier)]
    return Began(
        fault=fault,
        plate=run.first.plate,
        number=run.first.number,
        day=run.first.day,
        plates=len(run.plates),
        after=None if run.after is None else run.after.number,
        new=(
            ()
            if run.after is None
            else (
                *(_bottle(run, role) for role in others if role not in back),
                *_new(run, run.after, before_run),
            )
        ),
        back=tuple(_bottle(run, role) for role in back),
        had_before=sum(
            other.process == plate.process and runs.marked(other, (fault,)) for other in before_run
        ),
    )


def _new(run: runs.Run, after: PlateFigures, before_run: Sequence[PlateFigures]) -> Iterator[str]:
    """Yield what was new with the first plate of the run since the judged one without it, but for bottles.

    Holders go from hand to hand: one is new where the last plates before the run had not used it.
    """
    first = run.first
    for role in ROLES:
        done = () if runs.is_new(run, role) else runs.treated(run, role) or ()
        yield from (f"{role_text(role)} {DONE.get(what, what)}" for what in done)
    lately = [plate for plate in before_run if plate.process == first.process][-usuals.LAST :]
    for called, now, then, used in (
        ("holder", first.holder, after.holder, {plate.holder for plate in lately}),
        ("camera", first.camera, after.camera, {plate.camera for plate in lately}),
    ):
        if now is not None and then is not None and now not in used:
            yield named(called, now)
    for called, value in _TEMPERATURES:
        change = _change(value(first), value(after), usuals.usual(before_run, first.process, value))
        if change is not None:
            yield f"{called} {abs(change):.0f} °C {'warmer' if change > 0 else 'colder'}"


def _bottle(run: runs.Run, role: str) -> str:
    return named(role_text(role), run.first.bottles[role].name)


def named(called: str, name: str) -> str:
    """Return "holder 2" for a holder called "2", and for one called "holder 2" as well."""
    return name if called in name.casefold().split() else f"{called} {name}"


def _change(now: float | None, then: float | None, usual: float | None) -> float | None:
    """Return how much warmer it is than with the plate before, if it is so against the usual as well."""
    if now is None or then is None:
        return None
    change = now - then
    against_usual = change if usual is None else now - usual
    if min(abs(change), abs(against_usual)) < CHANGED_CELSIUS or change * against_usual < 0:
        return None
    return change
