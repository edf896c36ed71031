"""The lists of bottles at the bench: a role, then its bottle; the varnish of a plate from the rack."""

from __future__ import annotations

from collections.abc import Callable

from darkroom.bench import bottle_change, refusals
from darkroom.bench.all_plates import NEW
from darkroom.bench.bottles_at_hand import ROLE_NAMES, BottleAtHand, roles_after_rack, roles_of, serving
from darkroom.bench.state import PlateState
from darkroom.process.model import Process
from darkroom.screens.host import Host
from darkroom.screens.widgets.chooser import Choice, Chooser

WHICH = "Which bottle?"


def change_bottle(tool: Host, plate: str | None) -> None:
    """Ask for a role, then for its bottle: the plates that come to it from now on take it.

    The roles are those of the plate for which the menu was opened, else those of the last process.
    """
    bench = tool.session.bench
    state = bench.plates.get(plate) if plate is not None else None
    process = tool.services.last_process() if state is None else state.process
    roles = tuple(ROLE_NAMES) if process is None else roles_of(process)
    choices = []
    for role in roles:
        why_not = None if serving(bench.bottles, role, process) else refusals.NO_BOTTLES
        chosen = _chosen(tool, plate, role)
        label = f"{ROLE_NAMES[role]}: {chosen}" if chosen else ROLE_NAMES[role]
        choices.append(Choice(role, label, _told(tool, role, process), why_not, say=ROLE_NAMES[role]))

    def picked(role: str | None) -> None:
        if role is not None:
            _pick(tool, role, process, plate, lambda bottle: _change(tool, role, bottle))

    tool.push_screen(Chooser("Change a bottle", choices, plate=plate), picked)


def varnish(tool: Host, plate: str, then: Callable[[], None]) -> None:
    """Ask for the bottles that a plate from the rack takes, then go on; without any in the book at once."""
    state = tool.session.bench.plates.get(plate)
    roles = () if state is None else roles_after_rack(state.process)
    role = next((each for each in roles if _offered(tool, each, state)), None)
    if role is None or state is None:
        then()
        return

    def taken(bottle: BottleAtHand | None) -> None:
        if bottle is not None:
            tool.change_bottle(role, bottle, plate)
        else:
            tool.session.bench = bottle_change.without_choice(tool.session.bench, role, plate)
        then()

    _pick(tool, role, state.process, plate, taken, other="Another, not in the book")


def _pick(
    tool: Host,
    role: str,
    process: Process | None,
    plate: str | None,
    take: Callable[[BottleAtHand | None], None],
    other: str = "",
) -> None:
    """Ask for a bottle, the one taken last first; `take` gets it, None for the row `other`."""
    bottles = serving(tool.session.bench.bottles, role, process)
    last = tool.form.bottle_ids.get(role)
    choices = [
        Choice(bottle.id, _label(bottle), _help(tool, bottle))
        for bottle in sorted(bottles, key=lambda bottle: bottle.id != last)
    ]
    if other:
        choices.append(Choice("", other))

    def picked(bottle_id: str | None) -> None:
        if bottle_id is not None:
            take(next((bottle for bottle in bottles if bottle.id == bottle_id), None))

    heading = f"{WHICH} {ROLE_NAMES[role][:1].upper()}{ROLE_NAMES[role][1:]}"
    tool.push_screen(Chooser(heading, choices, plate=plate), picked)


def _help(tool: Host, bottle: BottleAtHand) -> str:
    told = tool.services.bottles.told(bottle)
    return f"{bottle.name}: {told}." if told else ""


def _label(bottle: BottleAtHand) -> str:
    return f"{bottle.name}, ripening: it is not ready" if bottle.ripening else bottle.name


def _change(tool: Host, role: str, bottle: BottleAtHand | None) -> None:
    """Let what is to come take the bottle, and say which plates of the bench that are."""
    if bottle is None:
        return
    taken = [state for state in tool.session.bench.on_bench if bottle_change.takes(state, role, bottle)]
    tool.change_bottle(role, bottle)
    begun = sorted(state.number for state in taken if state.plate != NEW)
    numbers = " and ".join(str(number) for number in begun)
    plates = f"plate{'s' if len(begun) > 1 else ''} {numbers} and " if begun else ""
    if len(taken) > len(begun):
        plates += "this plate and " if tool.session.bench.large == NEW else "the new plate and "
    tool.session.answers.show(f"{ROLE_NAMES[role]} {bottle.name}: {plates}the plates after")
    tool.session.answers.speak(ROLE_NAMES[role], "noted")
    tool.to_bench()


def _chosen(tool: Host, plate: str | None, role: str) -> str:
    """Return the name of the bottle that is chosen for a role: of the plate, else of the next one."""
    bench = tool.session.bench
    if plate is not None and plate in bench.plates:
        bottle_id = bottle_change.chosen_for(bench, plate, role)
    else:
        bottle_id = tool.form.bottle_ids.get(role)
    found = bottle_change.at_hand(bench, bottle_id)
    return "" if found is None else found.name


def _offered(tool: Host, role: str, state: PlateState | None) -> bool:
    process = None if state is None else state.process
    return bool(serving(tool.session.bench.bottles, role, process))


def _told(tool: Host, role: str, process: Process | None) -> str:
    count = len(serving(tool.session.bench.bottles, role, process))
    return "1 bottle in the book." if count == 1 else f"{count} bottles in the book."
