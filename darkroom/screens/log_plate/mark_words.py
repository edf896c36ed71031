"""What happened at the marks of a plate, chosen dry from a list; one's own words are kept for the next."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

from darkroom import resources
from darkroom.bench import events as ev
from darkroom.devices.clock import stamp
from darkroom.errors import DarkroomError
from darkroom.log.journal import append
from darkroom.log.plate.marks import MarkMoment, marks
from darkroom.log.plate.record import PlateRecord
from darkroom.log.review.corrections import text_of
from darkroom.process.text.plain_text import plain
from darkroom.screens.host import Host
from darkroom.screens.widgets.chooser import Choice, Chooser
from darkroom.screens.widgets.prompt import Prompt

OTHER, LATER = "other", "later"


def open_marks(record: PlateRecord) -> tuple[MarkMoment, ...]:
    """Return the marks of which nobody has said what happened."""
    return tuple(mark for mark in marks(record) if mark.words is None)


def ask_and_note(tool: Host, record: PlateRecord, on_done: Callable[[str, bool], None]) -> None:
    """Ask what happened at the first mark that has no words, and write it.

    `on_done` gets what to say about it, and whether it was saved; it is not called when nothing was chosen.
    """
    mark = next(iter(open_marks(record)), None)
    if mark is None:
        on_done("every mark has its words" if marks(record) else "this plate has no mark", False)
        return
    words, wrong = resources.mark_words(tool.services.home)
    choices = [
        Choice(OTHER, "other words …", "They are kept for the next time."),
        *(Choice(f"words {number}", plain(text)) for number, text in enumerate(words)),
        Choice(LATER, "not now"),
    ]

    def note(text: str) -> None:
        def work() -> None:
            message, saved = write(tool, record, mark, text, is_new=text not in words)
            tool.from_thread(lambda: on_done(message, saved))

        threading.Thread(target=work, name="mark").start()

    def typed(text: str | None) -> None:
        if text:
            note(text)

    def chosen(answer: str | None) -> None:
        if answer == OTHER:
            tool.push_screen(
                Prompt(f"{plain(mark.title)}: what happened?", "", "A few words.", text_of), typed
            )
        elif answer is not None and answer != LATER:
            note(words[int(answer.removeprefix("words "))])

    tool.push_screen(
        Chooser(f"{plain(mark.title)}: what happened?", choices, foot=plain(wrong or "")), chosen
    )


def write(tool: Host, record: PlateRecord, mark: MarkMoment, text: str, *, is_new: bool) -> tuple[str, bool]:
    """Write the words into the plate's journal, keep new ones; return what to say, and whether it worked."""
    home, at = tool.services.home, stamp(time.time())
    try:
        append.add(home, record.log.path, lambda n: ev.Note(n=n, at=at, up=None, text=text, about=mark.n))
    except DarkroomError as error:
        return plain(str(error)), False
    if is_new:
        try:
            resources.keep_mark_words(home, text)
        except DarkroomError as error:
            return f"saved, but not kept for the next time: {plain(str(error))}", True
    return f"mark {mark.number}: {plain(text)}", True
