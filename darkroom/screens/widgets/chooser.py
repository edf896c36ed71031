"""A list to choose from with wet gloves: large rows, the bench's own strikes, the clocks go on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rich.text import Text
from textual import events
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from darkroom.session.strikes import Recogniser, Strike


@dataclass(frozen=True, slots=True)
class Choice:
    """One row: `why_not` tells why it cannot be chosen now."""

    id: str
    label: str
    help: str = ""
    why_not: str | None = None


KEYS = {
    "enter": "choose", "space": "choose", "x": "choose", "c": "choose", "v": "choose", "b": "choose",
    "n": "choose", "m": "choose", "comma": "choose",
    "escape": "back", "backspace": "back", "delete": "back", "up": "up", "down": "down",
    "home": "up", "end": "down",
}  # fmt: skip


class Chooser(ModalScreen[str | None]):
    """Shows choices; gives the id of the one chosen, or None."""

    CSS = """
    Chooser { align: center middle; }
    Chooser > Vertical { width: 72; max-width: 100%; height: auto; max-height: 100%; padding: 1 2; }
    Chooser Static { width: 100%; min-width: 8; height: auto; }
    Chooser OptionList { min-width: 12; height: auto; border: none; margin: 1 0; }
    """

    def __init__(self, title: str, choices: Sequence[Choice], foot: str = "") -> None:
        super().__init__()
        self.heading, self.choices, self.foot = title, list(choices), foot
        self.recogniser = Recogniser(KEYS.get, nudge_zones=frozenset({"up", "down"}))

    def compose(self):  # type: ignore[no-untyped-def]
        """Lay out the heading, the list and the help of the row."""
        with Vertical():
            yield Static(Text(self.heading), id="heading")
            rows = [
                Option(Text(choice.label + (f"   {choice.why_not}" if choice.why_not else "")),
                       id=choice.id, disabled=choice.why_not is not None)
                for choice in self.choices
            ]  # fmt: skip
            self.list = OptionList(*rows)
            self.list.can_focus = False
            yield self.list
            yield Static("", id="help")

    def on_mount(self) -> None:
        """Start on the first row that can be chosen."""
        self._fit()
        self.list.action_first()
        self._tell()
        self.set_interval(0.02, self._due)

    def on_resize(self, event: events.Resize) -> None:
        """Show as many rows as there is room for."""
        self._fit()

    def _fit(self) -> None:
        heading = len(self.heading.splitlines())
        self.list.styles.max_height = max(4, self.size.height - 7 - heading)

    def on_key(self, event: events.Key) -> None:
        """Take every key: a handful acts once, here as at the bench."""
        event.stop()
        event.prevent_default()
        self._act(self.recogniser.key(event.key, self.app.session.clock.awake()))  # type: ignore[attr-defined]

    def _due(self) -> None:
        self._act(self.recogniser.due(self.app.session.clock.awake()))  # type: ignore[attr-defined]

    def _act(self, verdicts: Sequence[object]) -> None:
        for verdict in verdicts:
            if not isinstance(verdict, Strike):
                why = getattr(verdict, "why", None) or "that key does nothing here"
                self.query_one("#help", Static).update(Text(str(why)))
                continue
            match verdict.zone:
                case "up":
                    self.list.action_cursor_up()
                case "down":
                    self.list.action_cursor_down()
                case "back":
                    self.dismiss(None)
                    return
                case "choose":
                    index = self.list.highlighted
                    if index is not None and self.choices[index].why_not is None:
                        self.dismiss(self.choices[index].id)
                        return
            self._tell()

    def _tell(self) -> None:
        index = self.list.highlighted
        text = "" if index is None else self.choices[index].help
        self.query_one("#help", Static).update(Text(text or self.foot))
