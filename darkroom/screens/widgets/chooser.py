"""A list to choose from with wet gloves: the strikes of the key map, every row always in its place."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from msgspec import Struct
from textual import events

from darkroom.bench import large_place
from darkroom.screens.widgets.dialog import Dialog
from darkroom.screens.widgets.rows import Row, Span, fill, width
from darkroom.session.key_map import list_zones, sure_key
from darkroom.session.strikes import Recogniser, Strike, Verdict

TWO_COLUMNS = 56
"""A list too long for the rows stands in two columns on a screen of so many cells and more."""
WIDEST = 76
"""One column of a list is no wider, in cells."""
LOOKED, RESTING = 0.1, 0.5
"""The list looks so often, in seconds, whether a plate needs the hand; while none is followed less often."""
PLATE_FIRST = "A plate needs your press: go closes this list. An arrow takes a row."


class Choice(Struct, frozen=True):
    """One row: `why_not` tells why it cannot be chosen now; go never chooses a `sure` row, enter does.

    `say` is what the voice says of it where that is not its label.
    """

    id: str
    label: str
    help: str = ""
    why_not: str | None = None
    sure: bool = False
    say: str = ""


class Chooser(Dialog):
    """Shows choices; gives the id of the one chosen, or None. A dead row keeps its place and says why.

    A list without a `sure` row gives way to a plate that cannot wait: from the instant on at which there is
    one, no row is under the hand until an arrow moves to one, and go closes the list; at the plate's call the
    list closes by itself.
    """

    def __init__(
        self, title: str, choices: Sequence[Choice], foot: str = "", plate: str | None = None
    ) -> None:
        super().__init__(plate)
        self.heading, self.choices, self.foot = title, list(choices), foot
        self.highlighted = 0
        """The place of the row under the hand."""
        self.no_row = False
        """No row is under the hand: go closes the list."""
        self.gives_way = not any(choice.sure for choice in self.choices)
        self._plate_waited = False
        self.help = ""
        """The line below the list."""
        self._refused = False

    def on_mount(self) -> None:
        """Start on the first row."""
        zone_of = self.session.recogniser.zone_of
        self.sure_key = sure_key(zone_of)
        self.recogniser = Recogniser(list_zones(zone_of), nudge_zones=frozenset({"up", "down"}))
        self.recogniser.follow(self.session.recogniser)
        self.opened_at = self.session.now()
        self._look_for_plate()
        self._show_help()
        self._say_row(self.heading.strip().partition("\n")[0])
        self._look_again_for_plate()

    def on_key(self, event: events.Key) -> None:
        """Take every key: a handful acts once, here as at the bench."""
        event.stop()
        event.prevent_default()
        clock = self.session.real_clock
        arrived = clock.up_at(event.time)
        self.session.recogniser.taken_elsewhere(event.key, arrived)
        self._act(self.recogniser.key(event.key, arrived, clock.up()))
        self.when_gathered(self.recogniser, self._due)

    def _due(self) -> None:
        self._act(self.recogniser.due(self.session.real_clock.up()))
        self.when_gathered(self.recogniser, self._due)

    def _look_for_plate(self) -> None:
        """Take the hand off its row at the instant from which on a plate cannot wait."""
        waits = self.gives_way and large_place.cannot_wait(self.session.bench, self.session.now())
        if waits and not self._plate_waited:
            self.no_row = True
            self._show_help()
        self._plate_waited = waits

    def _look_again_for_plate(self) -> None:
        self.set_timer(LOOKED if self.session.bench.followed else RESTING, self._give_way)

    def _give_way(self) -> None:
        """Close the menu and its lists at the call of a plate that cannot wait: it needs the next press."""
        self._look_again_for_plate()
        self._look_for_plate()
        over_bench = self.app.screen_stack[1:]
        if not all(isinstance(screen, Chooser) and screen.gives_way for screen in over_bench):
            return
        if large_place.called_since(self.session.bench, self.opened_at, self.session.now()):
            self.tool.to_bench()

    def _act(self, verdicts: Sequence[Verdict]) -> None:
        for verdict in verdicts:
            if not isinstance(verdict, Strike):
                self._help(verdict.why, refused=True)
            elif not self._struck(verdict.zone):
                return
        if verdicts:
            self.draw()

    def _struck(self, zone: str) -> bool:
        """Do what a strike of this zone asks; return whether the list is still open."""
        self._look_for_plate()
        last = len(self.choices) - 1
        if self.no_row:
            return self._struck_off_rows(zone)
        match zone:
            case "up":
                self.highlighted = self.highlighted - 1 if self.highlighted else last
            case "down":
                self.highlighted = self.highlighted + 1 if self.highlighted < last else 0
            case "first":
                self.highlighted = 0
            case "last":
                self.highlighted = last
            case "back":
                self.dismiss(None)
                return False
            case "go" | "sure" if self.choices:
                return self._choose(self.choices[self.highlighted], zone)
        self._show_help()
        if zone in ("up", "down", "first", "last", "tell"):
            self._say_row()
        return True

    def _struck_off_rows(self, zone: str) -> bool:
        """Do what a strike asks while no row is under the hand; return whether the list is still open."""
        if zone in ("go", "sure", "back"):
            self.session.answers.speak("back")
            self.dismiss(None)
            return False
        if zone in ("up", "down", "first", "last"):
            self.no_row = False
            self.highlighted = 0 if zone in ("down", "first") else len(self.choices) - 1
        self._show_help()
        self._say_row()
        return True

    def _say_row(self, *before: str) -> None:
        """Let the voice say the row under the hand, and why it cannot be chosen; "back" without one."""
        if self.no_row:
            self.session.answers.speak(*before, "back")
        elif self.choices:
            choice = self.choices[self.highlighted]
            said = (*before, choice.say or choice.label, *([choice.why_not] if choice.why_not else []))
            self.session.answers.speak(*said, instead=f"line {self.highlighted + 1}")

    def _choose(self, choice: Choice, zone: str) -> bool:
        if choice.why_not is not None:
            self._help(f"{choice.label}: {choice.why_not}", refused=True)
            self.session.answers.speak(choice.why_not)
        elif choice.sure and zone == "go":
            self._help(f"Go does not choose this: {self.sure_key} does.", refused=True)
            self.session.answers.speak("go does not choose this", f"{self.sure_key} does")
        else:
            self.dismiss(choice.id)
            return False
        return True

    def _show_help(self) -> None:
        if self.no_row:
            self._help(PLATE_FIRST)
            return
        choice = self.choices[self.highlighted] if self.choices else None
        sure = next((row for row in self.choices if row.sure), None)
        sure_help = f"“{sure.label}” is chosen by {self.sure_key} alone, after moving to it." if sure else ""
        dead = f"not now: {choice.why_not}" if choice and choice.why_not else ""
        self._help(dead or (choice.help if choice else "") or self.foot or sure_help)

    def _help(self, text: str, *, refused: bool = False) -> None:
        self.help, self._refused = text, refused

    # --- drawing ---------------------------------------------------------------------------------

    def rows(self, columns: int, rows: int) -> list[Row]:
        """Return heading, list and help; a long list in two columns, a longer one in a window."""
        heading: list[Row] = [
            [(f" {line}", "loud" if index == 0 else "text")]
            for index, paragraph in enumerate((self.other_plate + self.heading).split("\n"))
            for line in (wrap(paragraph, max(8, columns - 2)) or [""])
        ]
        helped = wrap(self.help, max(8, columns - 2)) or [""]
        meaning = "reversed" if self._refused else "text"
        foot: list[Row] = [[(f" {line} ", meaning if line else "text")] for line in helped]
        count = len(self.choices)
        room = rows - len(heading) - len(foot)
        if room < min(count, 3):  # the list is never pushed out by what is said of it
            heading = heading[: max(0, rows - len(foot) - 3)]
            foot = foot[: max(0, rows - len(heading) - 3)]
            room = rows - len(heading) - len(foot)
        gaps = max(0, min(2, room - count))
        drawn = heading + [[]] * (1 if gaps else 0)
        drawn += self._list(columns, max(0, room - gaps))
        return drawn + [[]] * (gaps - 1 if gaps > 1 else 0) + foot

    def _list(self, columns: int, room: int) -> list[Row]:
        count = len(self.choices)
        if count > room and columns >= TWO_COLUMNS and (count + 1) // 2 <= room:
            half, cells = (count + 1) // 2, columns // 2
            places = [(row, row + half) for row in range(half)]
            return [
                [span for place in pair if place < count for span in self._line(place, cells)]
                for pair in places
            ]
        first = max(0, min(self.highlighted - room // 2, count - room))
        cells = min(columns, WIDEST)
        return [self._line(place, cells) for place in range(first, min(count, first + room))]

    def _line(self, place: int, cells: int) -> Row:
        choice = self.choices[place]
        under = place == self.highlighted and not self.no_row
        label = f" {choice.label} "
        spans: list[Span] = [(label, "text" if choice.why_not is None else "quiet")]
        if choice.why_not is not None:
            left = cells - width(label) - 2
            why = next(
                (
                    text
                    for text in (f"  {choice.why_not}", "  not now", "not now", "–")
                    if width(text) <= left
                ),
                "",
            )
            spans.append((why, "quiet"))
        if under:
            spans = [("".join(text for text, _ in spans), "reversed")]
        if under:
            return [(" ", "text"), *fill(spans, cells - 2, "reversed"), (" ", "text")]
        return [(" ", "text"), *fill(spans, cells - 2), (" ", "text")]
