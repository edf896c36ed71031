"""What is asked with dry hands before a plate is put on the bench: the day's sheet, then what to confirm.

The sheet is due before the day's first plate, and once more for a process that brings lines which stood on
no sheet of the day; never while a plate is on the bench, and never in a rehearsal. What a process wants
confirmed is asked once a day, whichever way its plate comes to the bench.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from darkroom.bench.all_plates import NEW
from darkroom.errors import DarkroomError
from darkroom.process.model import Process
from darkroom.screens.host import Host
from darkroom.session.plate_form import PlateForm

if TYPE_CHECKING:
    from darkroom.session.day_sheet import DaySheet, Item

Then = Callable[[], None]


def _nothing() -> None:
    """Do nothing."""


class BeforePlate:
    """Asks in order what is due, and goes on when all of it was answered."""

    def __init__(self, tool: Host, put_on: Callable[[PlateForm, Process], None]) -> None:
        """Ask nothing yet; `put_on` puts the plate on the bench when all is answered."""
        self.tool, self._put_on = tool, put_on
        self._sheet: DaySheet | None = None

    # --- a plate ---------------------------------------------------------------------------------

    def put_on(self, form: PlateForm, process: Process, declined: Then = _nothing) -> None:
        """Ask what is due, then put the plate on the bench; call `declined` after a No."""
        tool = self.tool

        def gone_through(yes: bool | None) -> None:
            if yes:
                self.confirm(process, lambda: self._put_on(form, process), declined)
            else:
                declined()

        def read(source: str, text: str) -> None:
            self._read(source, text)
            form.take_reading(source, text, self.tool.session.clock.wall())

        items = self.due(process)
        if items:
            tool.open_screen("day", "before", items, [process], "Go on", read, closed=gone_through)
        else:
            gone_through(True)

    def offer(self, form: PlateForm) -> str:
        """Put a plate on the bench as typed, after what must be asked; return what is wrong, or ""."""
        try:
            process = self.tool.services.processes.read(form.process)
        except DarkroomError as error:
            return str(error).splitlines()[0]
        self.put_on(form, process)
        return ""

    def due(self, process: Process) -> list[Item]:
        """Return the lines of the sheet that is to be shown before a plate of this process; often none."""
        from darkroom.session.day_sheet import unseen

        services = self.tool.services
        if services.rehearsal is not None or services.only_look or services.session.bench.on_bench:
            return []
        items = self._before([process])
        return items if unseen(items, services.day_book.read_again(services.now_at()).shown) else []

    # --- what a process wants confirmed --------------------------------------------------------------

    def confirm(self, process: Process, then: Then, declined: Then = _nothing) -> None:
        """Ask what this process wants confirmed and nobody answered today; then go on, or call `declined`."""
        from darkroom.screens.widgets.chooser import Choice, Chooser

        services = self.tool.services
        self.load_answers()
        missing = services.session.confirmations.missing(process, services.now_at())
        if not missing:
            then()
            return

        def answered(answer: str | None) -> None:
            if answer == "yes":
                for question in missing:
                    self._note_yes(process, question)
                then()
            else:
                declined()

        choices = [
            Choice("no", "No: no plate is put on the bench"),
            Choice("yes", "Yes, confirmed", sure=True),
        ]
        self.tool.push_screen(Chooser("\n\n".join(missing), choices), answered)

    def load_answers(self) -> None:
        """Take the answers that the file of the day holds."""
        services = self.tool.services
        services.session.confirmations.take(services.day_book.day(services.now_at()).confirmed)

    def said(self, process: Process) -> str | None:
        """Return since when what the process wants confirmed stands, or that it is asked; else None."""
        self.load_answers()
        services = self.tool.services
        return services.session.confirmations.said(process, services.now_at())

    def _note_yes(self, process: Process, question: str) -> None:
        from darkroom.log.days.events import CONFIRM, SeenTo

        services = self.tool.services
        at, up = services.now_at(), services.session.now()
        services.session.confirmations.confirm(process, question, at)
        services.day_book.add(
            lambda n: SeenTo(n=n, at=at, up=up, id=CONFIRM, process=process.name, what=question), at
        )

    def ask_at_the_bench(self) -> None:
        """Ask for the plate that waits for its first strike: the day has changed since it was put there."""
        state = self.tool.session.bench.plates.get(NEW)
        if state is not None:
            self.confirm(state.process, self.tool.to_bench, self.tool.take_off_new)

    # --- the sheet by itself -------------------------------------------------------------------------

    def show(self) -> bool:
        """Show the sheet before the first plate where no plate is on the bench; return whether it is."""
        services = self.tool.services
        if services.rehearsal is not None or services.only_look or services.session.bench.on_bench:
            return False
        self.tool.open_screen("day", "before", self._before([]), [], "Go on", self._read)
        return True

    def leave(self) -> bool:
        """Show the closing sheet where the day was begun, is not closed, and no plate is on the bench.

        The program is left when it was gone through. Return whether it is shown.
        """
        from darkroom.session.day_sheet import concerning

        tool = self.tool
        services = tool.services
        day = services.day_book.read_again(services.now_at())
        if services.rehearsal is not None or services.only_look or services.session.bench.on_bench:
            return False
        if day.begun is None or day.closed is not None:
            return False

        def gone_through(yes: bool | None) -> None:
            if yes:
                tool.leave()

        items = concerning(self.sheet().after, self._worked_with())
        tool.open_screen("day", "after", items, [], "Leave", closed=gone_through)
        return True

    def sheet(self) -> DaySheet:
        """Return the sheet: the own file where it can be read, else the shipped one, and that is said."""
        from darkroom import resources

        if self._sheet is None:
            path = resources.day_sheet_file(self.tool.services.home)
            try:
                self._sheet = resources.read_day_sheet(path)
            except DarkroomError as error:
                self.tool.say_quietly(
                    "day's sheet", f"{str(error).splitlines()[0]}: the shipped sheet is shown"
                )
                self._sheet = resources.read_day_sheet(resources.profiles_dir() / "day" / "day.yaml")
        return self._sheet

    def _before(self, processes: list[Process]) -> list[Item]:
        services, sheet = self.tool.services, self.sheet()
        at = services.now_at()
        pauses = [item.id for item in sheet.before if item.every is not None]
        seen = services.day_book.last_seen(at, pauses, sheet.longest_pause()) if pauses else {}
        return sheet.items_before(processes, seen, services.today())

    def _worked_with(self) -> list[Process]:
        last = self.tool.services.last_process()
        return [] if last is None else [last]

    def _read(self, source: str, text: str) -> None:
        from darkroom.session.plate_form import celsius, percent

        value = percent(text) if source == "humidity" else celsius(text)
        self.tool.take_typed_reading(source, value)
