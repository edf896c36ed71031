"""What is asked on the day's sheet: the room's temperature, how dry the air is, a note."""

from __future__ import annotations

from collections.abc import Callable

from darkroom.process.text.humidity import HUMIDITY_WORDS, humidity_text
from darkroom.screens.host import Host
from darkroom.screens.widgets.chooser import Choice, Chooser
from darkroom.screens.widgets.prompt import Prompt
from darkroom.session.plate_form import celsius, percent

Read = Callable[[str, str], None]
"""Is called with (source, text) for a reading that was typed."""
Seen = Callable[[str], None]
"""Is called with the reading in words."""


def ask_room(tool: Host, read: Read, seen: Seen) -> None:
    """Ask for the room's temperature."""

    def submitted(text: str | None) -> None:
        if text:
            read("room", text)
            seen(f"{celsius(text):.1f} °C")

    hint = "What the thermometer says: 19, or 66 F. Escape leaves it open."
    tool.push_screen(Prompt("Room temperature, in °C", "", hint, celsius), submitted)


def ask_air(tool: Host, read: Read, seen: Seen) -> None:
    """Ask for the humidity of the room, in words or as a number."""

    def taken(text: str | None) -> None:
        if text:
            read("humidity", text)
            seen(humidity_text(text))

    def chosen(answer: str | None) -> None:
        if answer == "number":
            hint = "Per cent, from 0 to 100. Escape leaves it open."
            tool.push_screen(Prompt("Humidity of the room, in %", "", hint, percent), taken)
        else:
            taken(answer)

    choices = [Choice(word, humidity_text(word)) for word in HUMIDITY_WORDS]
    choices.append(Choice("number", "A hygrometer says…", "Then the number is typed."))
    tool.push_screen(Chooser("How dry is the air?", choices), chosen)


def ask_note(tool: Host, note: Callable[[str], None]) -> None:
    """Ask for a few words about the day."""

    def submitted(text: str | None) -> None:
        if text:
            note(text)

    tool.push_screen(Prompt("Note on this day"), submitted)
