"""The composition root of the full-screen tool: house, journal, clocks, sound and screens put together."""

from __future__ import annotations

import gc
import random
import sys
import threading
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec

from darkroom.bench import all_plates as benches
from darkroom.bench import intents as want
from darkroom.bench.fold import fold
from darkroom.devices.clock import Clock, Watch
from darkroom.errors import BenchTaken, ProcessError
from darkroom.process.model import Process
from darkroom.screens.services import Parts
from darkroom.session import key_map
from darkroom.session.plate_form import Form
from darkroom.session.readings import Readings
from darkroom.session.session import Session
from darkroom.session.strikes import Recogniser
from darkroom.session.voice import Calls

if TYPE_CHECKING:
    from darkroom.screens.app import Tool


AGAIN = 10.0
"""A second crash within so many seconds ends the tool."""


def open_tool(
    form: Form | None = None, process: Process | None = None, rehearsal: object | None = None,
    look_back: str | None = None,
) -> int:  # fmt: skip
    """Open the full-screen tool and return its exit status.

    `form` and `process` put one plate on the bench, once its questions are answered. `look_back` opens
    the log, with that filter typed; where another tool holds the bench it is all that opens. Otherwise
    raises BenchTaken then.
    """
    from darkroom.screens.red.terminal import prepare_environment, red_terminal

    gc.disable()  # until the first frame: start-up makes much and throws away little
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        from darkroom.errors import WrongUse

        raise WrongUse("the full-screen tool needs a terminal; see darkroom --help for the other commands")
    prepare_environment()
    from darkroom.log.store.bench_files import BenchLock
    from darkroom.log.store.paths import home

    where = home()
    lock = BenchLock(where)
    try:
        lock.acquire()
    except BenchTaken:
        if look_back is None:
            raise
    with closing(lock):
        parts = build(where, rehearsal, only_look=not lock.held)
        parts.look_back = look_back
        if process is not None and form is not None:
            parts.form = form
            parts.first_plate = form, process
            if rehearsal is not None and getattr(rehearsal, "guided", False):
                from darkroom.session.lessons import Lessons

                hands = parts.session.hands
                parts.lessons = Lessons.for_process(
                    process, keys=key_map.shown_names(parts.keys), now=hands.up()
                )
                parts.session.saw = lambda what: parts.lessons.saw(what, up=hands.up())
        with red_terminal():
            status = _run(parts, where, rehearsal)
        parts.senses.stop()
        parts.scribe.close(5.0)
        parts.book.close()
        left = parts.waiting()
        if left:
            print("not saved: " + ", ".join(left), file=sys.stderr)
            return 1
        return status


def _run(parts: Parts, where: Path, rehearsal: object | None) -> int:
    """Run the tool; after a crash while the bench needs safelight, run it once more on the bench."""
    from darkroom.screens.app import Tool
    from darkroom.screens.red.red_app import RedApp
    from darkroom.screens.red.terminal import capabilities, red_page

    crashed: float | None = None
    while True:
        parts.blocks = capabilities().blocks
        tool: RedApp = Tool(parts)
        tool.run(mouse=False)
        if tool.crash is None:
            return tool.return_code or 0
        where.mkdir(parents=True, exist_ok=True)
        (where / "crash.txt").write_text(tool.crash, encoding="utf-8")
        now = parts.session.clock.awake()
        again = crashed is None or now - crashed >= AGAIN
        if not (again and parts.session.needs_safelight):
            red_page(
                [
                    "darkroom stopped.",
                    "Everything struck is saved. Start it again: the plates come back.",
                    f"What happened is in {where / 'crash.txt'}.",
                    "Strike a key.",
                ]
            )
            return 1
        crashed = now


def build(where: Path, rehearsal: Any = None, *, only_look: bool = False) -> Parts:
    """Put the parts together and bring back the plates that were on the bench.

    With `only_look` the bench is another tool's: nothing of it is brought back or written.
    """
    from darkroom.log.journal.write import JournalWriter
    from darkroom.log.store import bench_files, paths
    from darkroom.screens.device_reports import Senses
    from darkroom.settings import settings

    chosen = settings.load(settings.path_in(where))
    real = Clock()
    clock: Any = real if rehearsal is None else rehearsal.clock(real)
    speed = 1.0 if rehearsal is None else rehearsal.speed
    keys = key_map.load(where / "keys.yaml")
    book = bench_files.BenchBook(where)
    remembered = book.load()
    tool_box: list[Tool] = []

    def report(what: object) -> None:
        if tool_box:
            tool_box[-1].from_thread(lambda: tool_box[-1].heard(what))

    scribe = JournalWriter(where, report, rehearsal=rehearsal is not None)
    calls = Calls(clock, real, speed, lambda: tool_box[-1].bell() if tool_box else None)
    rng = random.SystemRandom()
    session = Session(
        clock=clock, watch=Watch(clock, speed=speed), writer=scribe, voice=calls,
        recogniser=Recogniser(keys.zone_of, nudge_zones=key_map.NUDGES),
        new_id=lambda wall: paths.new_plate_id(datetime.fromtimestamp(wall, UTC), rng),
        next_number=lambda: parts.next_number(),  # noqa: PLW0108  # `parts` is made below
        hands=real, pace=speed,
    )  # fmt: skip
    parts = Parts(
        session=session, calls=calls, form=_form(remembered.get("form"), remembered.get("day")), keys=keys,
        bench_id=paths.bench_id(), boot=paths.boot_id(), book=book, scribe=scribe, home=where,
        highest=0 if rehearsal else int(remembered.get("number") or 0), remembered=dict(remembered),
        speed=speed, rehearsal=rehearsal is not None, rehearsing=rehearsal,
        brightness=chosen.brightness or remembered.get("brightness"), senses=Senses(chosen),
    )  # fmt: skip
    parts.cautions_read = remembered.get("cautions")
    parts.readings = Readings(session)
    parts.later.append(tool_box.append)
    parts.only_look = only_look
    if only_look:
        return parts
    parts.later.append(parts.senses.start)
    if rehearsal is not None:
        return parts
    _bring_back(parts, remembered)
    if not remembered.get("number"):
        _count(parts, where)
    return parts


def _form(plain: object, day: object) -> Form:
    """Return the form as it was left; what thermometers said on another day is left out."""
    try:
        form = msgspec.convert(plain, Form) if plain else Form()
    except msgspec.ValidationError:
        return Form()
    if day != datetime.now().astimezone().date().isoformat():
        form.temperatures, form.humidity = {}, ""
    return form


def _count(parts: Parts, where: Path) -> None:
    """Find the highest number in the background: the journals may be many."""
    from darkroom.log.journal.find import next_number

    def look() -> None:
        parts.highest = max(parts.highest, next_number(where) - 1)

    threading.Thread(target=look, name="count", daemon=True).start()


def _bring_back(parts: Parts, remembered: dict[str, Any]) -> None:
    """Put the plates that were on the bench back, each with the right time on it."""
    from darkroom.log.journal import resume

    session, clock = parts.session, parts.session.clock
    returning = resume.returning(parts.home, parts.bench_id)
    for log, why in returning.left_out:
        parts.notice = f"{log.plate} stays where it is: {why}"
    for log in returning.plates:
        gap, by = resume.gap(log, parts.boot, clock.up(), clock.wall())
        try:
            state = fold(log.events)
        except (ValueError, KeyError, ProcessError):
            parts.notice = f"{log.plate} cannot be read back"
            continue
        if {done.stage for done in state.done} - {stage.name for stage in state.process.stages}:
            parts.notice = f"{log.plate} stays where it is: it went through a stage its process does not have"
            continue
        parts.scribe.adopt(log)
        session.dates[log.plate] = log.local_date
        session.bench = benches.with_plate(session.bench, state)
        session.intend(want.CameBack(log.plate, round(gap, 3), by, parts.boot))
    large = remembered.get("large")
    if large in session.bench.plates:
        session.bench = msgspec.structs.replace(session.bench, large=large)
