"""A list to choose from with wet gloves: large rows, the strikes of the key map, the clocks go on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from darkroom.session.key_map import list_zones, sure_key
from darkroom.session.session import Session
from darkroom.session.strikes import Recogniser, Strike, Verdict


@dataclass(frozen=True, slots=True)
class Choice:
    """One row: `why_not` tells why it cannot be chosen now; go never chooses a `sure` row, enter does."""

    id: str
    label: str
    help: str = ""
    why_not: str | None = None
    sure: bool = False


class Chooser(ModalScreen[str | None]):
    """Shows choices; gives the id of the one chosen, or None."""

    CSS = """
    Chooser { align: center middle; }
    Chooser > Vertical { width: 72; max-width: 100%; height: auto; max-height: 100%; padding: 1 2; }
    Chooser Static { width: 100%; min-width: 8; height: auto; }
    Chooser OptionList { min-width: 12; height: auto; border: none; margin: 1 0; }
    Chooser OptionList > .option-list--option-highlighted {
        color: $block-cursor-foreground; background: $block-cursor-background;
    }
    """

    def __init__(self, title: str, choices: Sequence[Choice], foot: str = "") -> None:
        super().__init__()
        self.heading, self.choices, self.foot = title, list(choices), foot

    @property
    def session(self) -> Session:
        """The session whose key map holds here."""
        return self.app.session  # type: ignore[attr-defined, no-any-return]

    def compose(self) -> ComposeResult:
        """Lay out the heading, the list and the help of the row."""
        with Vertical():
            yield Static(Text(self.heading), id="heading")
            rows = [
                Option(
                    Text(choice.label + (f"   {choice.why_not}" if choice.why_not else "")),
                    id=choice.id,
                    disabled=choice.why_not is not None,
                )
                for choice in self.choices
            ]
            self.list = OptionList(*rows)
            self.list.can_focus = False
            yield self.list
            yield Static("", id="help")

    def on_mount(self) -> None:
        """Start on the first row that can be chosen."""
        zone_of = self.session.recogniser.zone_of
        self.sure_key = sure_key(zone_of)
        self.recogniser = Recogniser(list_zones(zone_of), nudge_zones=frozenset({"up", "down"}))
        self.recogniser.follow(self.session.recogniser)
        self._fit()
        self.list.action_first()
        self._show_help()
        self._say_row(self.heading.strip().partition("\n")[0])
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
        now = self.session.real_clock.up()
        self.session.recogniser.taken_elsewhere(event.key, now)
        self._act(self.recogniser.key(event.key, now))

    def _due(self) -> None:
        self._act(self.recogniser.due(self.session.real_clock.up()))

    def _act(self, verdicts: Sequence[Verdict]) -> None:
        for verdict in verdicts:
            if not isinstance(verdict, Strike):
                self._help(verdict.why)
                continue
            match verdict.zone:
                case "up":
                    self.list.action_cursor_up()
                case "down":
                    self.list.action_cursor_down()
                case "first":
                    self.list.action_first()
                case "last":
                    self.list.action_last()
                case "back":
                    self.dismiss(None)
                    return
                case "tell":
                    self._say_row()
                case "go" | "sure":
                    choice = self._highlighted()
                    if choice is not None and choice.sure and verdict.zone == "go":
                        self._help(f"Go does not choose this: {self.sure_key} does.")
                        self.session.answers.speak("go does not choose this", f"{self.sure_key} does")
                        continue
                    if choice is not None and choice.why_not is None:
                        self.dismiss(choice.id)
                        return
            self._show_help()
            if verdict.zone in ("up", "down", "first", "last"):
                self._say_row()

    def _say_row(self, *before: str) -> None:
        """Let the voice say the chosen row, and why it cannot be chosen."""
        choice = self._highlighted()
        if choice is not None:
            place = self.choices.index(choice) + 1
            said = (*before, choice.label, *([choice.why_not] if choice.why_not else []))
            self.session.answers.speak(*said, instead=f"line {place}")

    def _highlighted(self) -> Choice | None:
        index = self.list.highlighted
        return None if index is None else self.choices[index]

    def _show_help(self) -> None:
        choice = self._highlighted()
        sure = next((row for row in self.choices if row.sure), None)
        sure_help = f"“{sure.label}” is chosen by {self.sure_key} alone, after moving to it." if sure else ""
        self._help((choice.help if choice else "") or self.foot or sure_help)

    def _help(self, text: str) -> None:
        self.query_one("#help", Static).update(Text(text))
