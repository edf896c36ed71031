"""Moving a late strike on the screen: which strike, how far, and the line written."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

from darkroom.devices.clock import stamp
from darkroom.errors import DarkroomError
from darkroom.log.journal import append
from darkroom.log.plate import moved_strikes
from darkroom.log.plate.late_strikes import late
from darkroom.log.plate.record import PlateRecord
from darkroom.process.text.durations import say_duration
from darkroom.process.text.plain_text import plain
from darkroom.screens.host import Host
from darkroom.screens.widgets.chooser import Choice, Chooser
from darkroom.screens.widgets.prompt import Prompt

HINT = "8 min · 2:30 earlier · 30 s later · back: where it was struck. Escape leaves it."


def read_shift(text: str) -> float | None:
    """Return the seconds to move by, a time alone meaning earlier; None for "back". Raises WrongUse."""
    return None if text.strip().lower() == "back" else moved_strikes.parse_shift(text, bare=-1.0)


def ask_and_move(tool: Host, record: PlateRecord, on_done: Callable[[str], None]) -> None:
    """Ask which strike and how far, and write it; `on_done` gets what to say about it."""
    strikes = moved_strikes.strikes(record.log.events)
    if not strikes:
        on_done("no strike of this plate can be moved")
        return
    late_words = {
        (strike.stage, "cleared" if strike.strike == "cleared" else "end"): strike.words
        for strike in late(record.account)
    }
    choices = []
    for number, strike in enumerate(strikes):
        label = plain(strike.words)
        if strike.moved:
            label += f", moved {say_duration(abs(strike.moved))} " + (
                "earlier" if strike.moved < 0 else "later"
            )
        late_text = late_words.get((strike.stage, strike.which))
        choices.append(Choice(str(number), label + (f": {late_text}" if late_text else "")))

    def chosen(answer: str | None) -> None:
        if answer is None:
            return
        strike = strikes[int(answer)]

        def check(text: str) -> float:
            return moved_strikes.checked(strike, read_shift(text))

        def submitted(text: str | None) -> None:
            if text:
                seconds = read_shift(text)

                def work() -> None:
                    result = write(tool, record, strike, seconds)
                    tool.from_thread(lambda: on_done(result))

                threading.Thread(target=work, name="move").start()

        title = f"How much earlier was the {plain(strike.words)}?"
        tool.push_screen(Prompt(title, "", HINT, check), submitted)

    first = next(
        (number for number, strike in enumerate(strikes) if (strike.stage, strike.which) in late_words), 0
    )
    ordered = choices[first:] + choices[:first]
    tool.push_screen(Chooser("Which strike came late?", ordered), chosen)


def write(tool: Host, record: PlateRecord, strike: moved_strikes.MovableStrike, seconds: float | None) -> str:
    """Write the move into the plate's journal; return what to say."""
    path = record.log.path
    build = moved_strikes.move_builder(path, strike.stage, strike.which, seconds, stamp(time.time()))
    try:
        (line,) = append.add_all(tool.services.home, path, build)
    except DarkroomError as error:
        return str(error)
    direction = "earlier" if line.seconds < 0 else "later"
    return f"{plain(strike.words)} moved {say_duration(abs(line.seconds))} {direction}"
