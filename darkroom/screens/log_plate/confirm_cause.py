"""The cause of a fault, confirmed once it is known: it is one more line of the plate's journal."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

import msgspec

from darkroom.devices.clock import stamp
from darkroom.errors import DarkroomError
from darkroom.faults.answer import Why
from darkroom.faults.catalogue import NONE_OF_THESE, Catalogue, Fault
from darkroom.faults.catalogue_words import shown_as
from darkroom.faults.weight_words import how_often
from darkroom.faults.words import chance_text
from darkroom.log.journal import append
from darkroom.log.journal.merge import PlateLog, read_plate
from darkroom.log.plate.record import PlateRecord
from darkroom.log.review.judgement import FaultLine, change_builders, combined_builder, standing
from darkroom.process.text.plain_text import plain
from darkroom.screens.host import Host
from darkroom.screens.why_failed import PlateAnswer
from darkroom.screens.widgets.pick_list import Pick, PickList

OTHER, NOT_CONFIRMED = "another cause …", ""
"""Rows that are no causes: neither can be the id of one."""
RANKED = 8
"""So many causes stand in the first list, the likeliest first."""


def known_faults(record: PlateRecord, catalogue: Catalogue) -> list[tuple[FaultLine, Fault]]:
    """Return the plate's faults that the catalogue has."""
    found = []
    for line in standing(record.log).faults:
        fault = catalogue.fault(line.name)
        if fault is not None:
            found.append((line, fault))
    return found


def ask_and_confirm(
    tool: Host, record: PlateRecord, answer: PlateAnswer, on_done: Callable[[str], None]
) -> None:
    """Ask which cause it was, and write it; `on_done` gets what to say about it."""
    faults = known_faults(record, answer.catalogue)
    if not faults:
        on_done("no fault of the list is marked: j marks one")
    elif len(faults) == 1:
        _ask_cause(tool, record, answer, *faults[0], on_done)
    else:
        picks = [
            Pick(str(place), _named(line, fault), fault.looks) for place, (line, fault) in enumerate(faults)
        ]

        def chosen(place: str | None) -> None:
            if place is not None:
                _ask_cause(tool, record, answer, *faults[int(place)], on_done)

        tool.push_screen(PickList("Of which fault is the cause known?", picks), chosen)


def _named(line: FaultLine, fault: Fault) -> str:
    return plain(fault.label) + (f", {plain(line.where)}" if line.where else "")


def _ask_cause(
    tool: Host,
    record: PlateRecord,
    answer: PlateAnswer,
    line: FaultLine,
    fault: Fault,
    on_done: Callable[[str], None],
) -> None:
    def note(cause: str) -> None:
        def work() -> None:
            said = write(tool, record, line, None if cause == NOT_CONFIRMED else cause, answer.catalogue)
            tool.from_thread(lambda: on_done(said))

        threading.Thread(target=work, name="cause").start()

    def chosen(cause: str | None) -> None:
        if cause == OTHER:
            tool.push_screen(PickList(title, others(answer.catalogue)), chosen)
        elif cause is not None:
            note(cause)

    title = f"{_named(line, fault)}: what did it come from?"
    picks = ranked(fault, line, answer.plate.why, answer.catalogue)
    tool.push_screen(PickList(title, picks, line.cause or ""), chosen)


def ranked(fault: Fault, line: FaultLine, why: Why | None, catalogue: Catalogue) -> list[Pick]:
    """Return the causes linked to a fault, the likeliest first, then what else may be said."""
    chances = {} if why is None else {likely.cause: likely.chance for likely in why.causes}
    linked = [cause for cause in fault.causes if cause in catalogue.causes]
    linked.sort(key=lambda cause: (-chances.get(cause, 0.0), -fault.causes[cause]))
    picks = []
    for name in linked[:RANKED]:
        cause = catalogue.causes[name]
        chance = f"{chance_text(chances[name])}; " if name in chances else ""
        often = f"{how_often(fault.causes[name])} looks like this"
        picks.append(Pick(name, plain(cause.label), chance + often))
    picks.append(Pick(OTHER, OTHER, "All causes of the catalogue; letters find one."))
    picks.append(
        Pick(
            NONE_OF_THESE,
            NONE_OF_THESE,
            "It is known, and it is nothing that the catalogue has: note it in words.",
        )
    )
    if line.cause is not None:
        picks.append(Pick(NOT_CONFIRMED, "not confirmed", "What was said of its cause is taken back."))
    return picks


def others(catalogue: Catalogue) -> list[Pick]:
    """Return all causes, by their names."""
    causes = sorted(catalogue.causes.values(), key=lambda cause: cause.label.casefold())
    return [Pick(cause.id, plain(cause.label), shown_as(cause.id, catalogue)) for cause in causes]


def write(tool: Host, record: PlateRecord, line: FaultLine, cause: str | None, catalogue: Catalogue) -> str:
    """Write the cause into the plate's journal as a correction of the fault; return what to say."""
    path = record.log.path
    try:
        log: PlateLog = read_plate(path)
        stands = standing(log)
        if line not in stands.faults:
            return "the plate was judged from elsewhere meanwhile: press c again"
        faults = tuple(
            msgspec.structs.replace(fault, cause=cause) if fault == line else fault for fault in stands.faults
        )
        builders = change_builders(
            log, msgspec.structs.replace(stands, faults=faults), None, stamp(time.time())
        )
        if builders:
            append.add_all(tool.services.home, path, combined_builder(path, log, builders))
    except (DarkroomError, OSError) as error:
        return plain(str(error))
    if cause is None:
        return "its cause is not confirmed any more"
    known = catalogue.causes.get(cause)
    return f"confirmed: {plain(cause if known is None else known.label)}"
