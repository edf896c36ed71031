"""The composition root of the full-screen tool: settings, journal, clocks, sound and screens put together."""

from __future__ import annotations

import gc
import os
import random
import sys
import threading
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from darkroom import surroundings
from darkroom.bench.working_day import working_day
from darkroom.devices.clock import Clock, Watch
from darkroom.devices.sound.sound_files import recorded
from darkroom.errors import BenchTaken
from darkroom.log.journal.write import JournalWriter
from darkroom.process.model import Process
from darkroom.screens.coming_back import bring_back, bring_back_choices, take_back
from darkroom.screens.device_reports import Devices, ReportChannel
from darkroom.screens.memory import Book, Memory, counted
from darkroom.screens.services import Services
from darkroom.session import bottle_choice, key_map
from darkroom.session.plate_form import PlateForm, readings
from darkroom.session.session import Session
from darkroom.session.speech import SpokenSet
from darkroom.session.strikes import Recogniser
from darkroom.session.voice import CueSender

if TYPE_CHECKING:
    from darkroom.screens.log_list.first_page import FirstPage
    from darkroom.screens.red.red_app import RedApp
    from darkroom.session.rehearsal import Rehearsal


AGAIN = 10.0
"""A second crash within so many seconds ends the tool."""


def open_tool(
    form: PlateForm | None = None,
    process: Process | None = None,
    rehearsal: Rehearsal | None = None,
    look_back: str | None = None,
) -> int:
    """Open the full-screen tool and return its exit status.

    `form` and `process` put one plate on the bench, once its questions are answered. `look_back` opens
    the log, with that filter typed; where another tool holds the bench it is all that opens. Otherwise
    raises BenchTaken then.
    """
    from darkroom.screens.red.end_signals import EndSignals
    from darkroom.screens.red.terminal import NO_TERMINAL, prepare_environment, red_terminal

    gc.disable()  # until the first frame: start-up makes much and throws away little
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        from darkroom.errors import WrongUse

        raise WrongUse("the full-screen tool needs a terminal; see darkroom --help for the other commands")
    if not sys.stderr.isatty():  # what is said there would be lost too
        print(f"darkroom: {NO_TERMINAL}")
        return 2
    prepare_environment()
    from darkroom.log.store.bench_files import BenchLock
    from darkroom.log.store.paths import home

    home_folder = home()
    lock = BenchLock(home_folder)
    try:
        lock.acquire()
    except BenchTaken:
        if look_back is None:
            raise
    first_page = None if look_back is None else _first_page(home_folder, look_back)
    signals = EndSignals()
    with closing(lock), signals.watched():
        services = build(home_folder, rehearsal, only_look=not lock.held)
        signals.save = lambda: _save_and_say(services)
        services.opening.filter, services.opening.first_page = look_back, first_page
        if process is not None and form is not None:
            bottle_choice.keep_chosen(form, services.memory.form)
            services.memory.form = form
            services.opening.plate = form, process
        try:
            with red_terminal(signals=signals):
                status = _run(services)
        finally:
            unsaved = _save_and_say(services)
        return unsaved or status


def _first_page(home: Path, look_back: str) -> FirstPage:
    """Ask for the first page of the log while the toolkit is loaded."""
    from darkroom.screens.log_list.first_page import FirstPage, first_request

    return FirstPage(home, first_request(look_back, os.get_terminal_size(sys.stdout.fileno()).lines))


def _save_and_say(services: Services) -> int | None:
    """Save what waits and say what is not saved; return the exit status of that, None when all is saved."""
    from darkroom.screens.red.last_words import LastWords

    return None if services.close(LastWords(2).say) else 1


def _run(services: Services) -> int:
    """Run the tool; after a crash while the bench needs safelight, run it once more on the bench."""
    from darkroom.screens import crash
    from darkroom.screens.red.terminal import red_page

    crashed: float | None = None
    while True:
        tool = _make_tool(services)
        tool.run(mouse=False)
        if tool.crash is None:
            return tool.return_code or 0
        kept_in = crash.kept_in(services.home, tool.crash)
        now = services.session.clock.awake()
        may_run_again = crashed is None or now - crashed >= AGAIN
        if not (may_run_again and services.session.needs_safelight):
            red_page(
                ["darkroom stopped.", *crash.saved_or_not(services.journal_writer), kept_in, "Press a key."]
            )
            return 1
        crashed = now


def _make_tool(services: Services) -> RedApp:
    """Load the toolkit and return the application. Raises WrongUse for a toolkit that it is not made for."""
    from darkroom.screens.red.terminal import capabilities

    services.blocks = capabilities().blocks
    try:
        from darkroom.screens.lean_toolkit.load import load

        load()
        from darkroom.screens.app import Tool

        return Tool(services)
    except (ImportError, AttributeError) as error:
        from darkroom.screens.toolkit_release import other_toolkit

        if (explained := other_toolkit(error)) is None:
            raise
        raise explained from error


def build(home: Path, rehearsal: Rehearsal | None = None, *, only_look: bool = False) -> Services:
    """Put the services together and bring back the plates that were on the bench.

    With `only_look` the bench is another tool's: nothing of it is brought back or written.
    """
    from darkroom.log.journal import resume
    from darkroom.log.store import bench_files, paths
    from darkroom.screens import user_files

    bench_id = paths.bench_id()
    user_settings, keys, left_out = user_files.load(
        home, lambda: not only_look and bool(resume.returning(home, bench_id).plates)
    )
    real_clock = Clock()
    clock = real_clock if rehearsal is None else rehearsal.clock(real_clock)
    speed = 1.0 if rehearsal is None else rehearsal.speed
    book = bench_files.BenchBook(home)
    book_content = book.load()
    memory = _memory(book, book_content)
    memory.kept = rehearsal is None and not only_look
    memory.brightness = user_settings.brightness or memory.brightness
    if rehearsal is not None:
        memory.number = 0
    channel = ReportChannel()
    journal_writer = JournalWriter(home, channel.send, rehearsal=rehearsal is not None)
    cue_sender = CueSender(clock, real_clock, speed)
    cue_sender.spoken = SpokenSet(recorded(user_settings.sound.folder))
    rng = random.SystemRandom()
    session = Session(
        clock=clock,
        watch=Watch(clock, speed=speed),
        writer=journal_writer,
        voice=cue_sender,
        recogniser=Recogniser(keys.zone_of, nudge_zones=key_map.NUDGES),
        new_id=lambda wall: paths.new_plate_id(datetime.fromtimestamp(wall, UTC), rng),
        next_number=memory.next_number,
        real_clock=real_clock,
        pace=speed,
    )
    devices = Devices(user_settings, real_clock, channel.send, thermometers=rehearsal is None)
    services = Services(
        home=home,
        bench_id=bench_id,
        boot=paths.boot_id(),
        keys=keys,
        session=session,
        cue_sender=cue_sender,
        journal_writer=journal_writer,
        memory=memory,
        channel=channel,
        devices=None if only_look else devices,
        rehearsal=rehearsal,
        only_look=only_look,
    )
    if book.problem is not None:
        left_out.append(f"bench.json: {book.problem.what}")
    for number, words in enumerate([*left_out, *surroundings.remarks]):
        services.notices.say(f"settings {number}", words)
    session.take_back = lambda plate: take_back(services, plate)
    if services.memory.kept:
        bring_back(services, book_content.get("large"))
        session.bench = bring_back_choices(session.bench, book_content.get("changed_bottles"))
        if not memory.number:
            _find_highest_number(memory, home)
    return services


def _memory(book: Book, book_content: dict[str, object]) -> Memory:
    """Return what bench.json tells; a value of another kind than it should be is left out."""
    brightness = book_content.get("brightness")
    return Memory(
        book=book,
        form=_form(book_content.get("form"), book_content.get("day")),
        number=counted(book_content.get("number")),
        brightness=brightness if type(brightness) is int else None,
        saved=dict(book_content),
    )


def _form(stored_form: object, day: object) -> PlateForm:
    """Return the form as it was left; what held for another day is left out."""
    try:
        form = msgspec.convert(stored_form, PlateForm) if stored_form else PlateForm()
    except msgspec.ValidationError:
        return PlateForm()
    if day != working_day(datetime.now(UTC).astimezone().isoformat()):
        form.temperatures, form.humidity, form.no_bottles = {}, "", []
    form.read_at = {source: 0.0 for source in readings(form)} | form.read_at
    return form


def _find_highest_number(memory: Memory, home: Path) -> None:
    """Find the highest number in the background: the journals may be many."""
    from darkroom.log.journal.find import next_number

    def search() -> None:
        memory.number = max(memory.number, next_number(home) - 1)

    threading.Thread(target=search, name="count", daemon=True).start()
