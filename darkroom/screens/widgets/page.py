"""What every screen of the review is: a heading, a body of rows, a foot with its keys. Nothing else moves."""

from __future__ import annotations

from collections.abc import Callable

from textual import events
from textual.widget import Widget

from darkroom.bench.view import bench_view
from darkroom.screens.host import Host, HostScreen
from darkroom.screens.widgets.face import Face
from darkroom.screens.widgets.plate_summary import LIGHT_SENTENCE, rail_entry
from darkroom.screens.widgets.rows import Row, fill, spread, width
from darkroom.screens.widgets.wrapped_text import wrapped

LOG_KEY, SHEET_KEY, TRENDS_KEY, COMPARE_KEY, SORT_KEY, JUMP_KEY, EXPOSURE_KEY, THEME_KEY, BOTTLES_KEY = (
    "f2", "f3", "f4", "f5", "f6", "f7", "f8", "f9", "f12",
)  # fmt: skip
FUNCTION_KEYS = {
    LOG_KEY: "the log",
    SHEET_KEY: "the day's sheet",
    TRENDS_KEY: "trends",
    COMPARE_KEY: "compare",
    SORT_KEY: "sort",
    JUMP_KEY: "to a day",
    EXPOSURE_KEY: "exposure",
    THEME_KEY: "day or red",
    BOTTLES_KEY: "bottles",
}
"""{function key: what it means}, the same on the home screen and on all pages; at the bench all are dead."""


def open_day_sheet(tool: Host) -> str:
    """Open the day's sheet, or return why not."""
    if tool.services.only_look:
        return "another darkroom is at the bench: the day's sheet is there"
    return "" if tool.day_sheet() else "the day's sheet waits until no plate is on the bench"


def turn_day(tool: Host) -> str:
    """Change between red and the day theme, or return why not."""
    refused = None if tool.day else tool.day_refused()
    if refused is not None:
        return f"red stays: {refused}"
    tool.day = not tool.day
    return ""


def elsewhere(key: str) -> str:
    """Return where a function key does something that has no meaning on this page."""
    return f"{key.upper()}: {FUNCTION_KEYS[key]}, in the log"


class Page(HostScreen[None]):
    """One page of the review.

    Subclasses give `heading`, `body`, `keys` and take keys in `pressed`. Escape goes back; a function key
    means the same on every page (`FUNCTION_KEYS`): F2 goes to the log, F3 to the day's sheet, F8 to the
    exposure page, F12 to the bottles, F9 changes between red and day. A bench that needs its safelight
    refuses the day, and is told of in the last rows.
    """

    is_log = False
    """Whether this page is the list of the plates, to which F2 goes back."""
    is_exposure = False
    """Whether this page is the exposure page."""
    is_bottles = False
    """Whether this page is the list of the bottles, to which F12 goes back."""

    def __init__(self) -> None:
        super().__init__()
        self.face = Face()
        self.message = ""
        """What went wrong or was done last; it goes with the next key."""
        self._calling = False

    # --- what a page gives ---------------------------------------------------------------------

    def heading(self) -> tuple[str, str]:
        """Return the words at the left and at the right of the first row."""
        return "", ""

    def body(self, columns: int, rows: int) -> list[Row]:
        """Return at most `rows` rows of any length; they are cut and padded to `columns`."""
        return []

    def keys(self) -> list[tuple[str, str]]:
        """Return (key, what it does), the most needed first; those that fit are shown."""
        return []

    def leave_refused(self) -> str:
        """Return why the page cannot be left by a function key now, or nothing."""
        return ""

    def exposure_plate(self) -> tuple[str, ...]:
        """Return (id, number) of the plate that the exposure page begins from; nothing for none."""
        return ()

    def pressed(self, key: str, character: str | None) -> bool:
        """Take a key; return False for one that does nothing here."""
        return False

    # --- what all pages do -----------------------------------------------------------------------

    def compose(self) -> list[Widget]:
        """Return the one widget."""
        return [self.face]

    def on_mount(self) -> None:
        """Draw, and follow the clocks of the plates on the bench."""
        self.draw()

    def on_screen_resume(self) -> None:
        """Draw anew when what stood over this page is closed."""
        self.draw()

    def on_resize(self, event: events.Resize) -> None:
        """Draw for the new size."""
        self.draw()

    def on_key(self, event: events.Key) -> None:
        """Give the key to the page; escape and the function keys are the same everywhere."""
        event.stop()
        event.prevent_default()
        self.message = ""
        if event.key in FUNCTION_KEYS:
            if self.function_key(event.key):
                return
        elif not self.pressed(event.key, event.character) and event.key == "escape":
            self.back()
            return
        self.draw()

    def back(self) -> None:
        """Close this page; go straight to the bench when a plate calls."""
        if self._calling:
            self.tool.to_bench()
        else:
            self.dismiss(None)

    def function_key(self, key: str) -> bool:
        """Do what a function key means; return whether another page stands there now.

        One that does nothing on this page says where it does something.
        """
        if key == THEME_KEY:
            self.turn_day()
        elif key == LOG_KEY and not self.is_log:
            return self._to_list(lambda page: page.is_log, self.tool.look_back)
        elif key == BOTTLES_KEY and not self.is_bottles:
            return self._to_list(lambda page: page.is_bottles, lambda: self.tool.open_screen("bottles"))
        elif key == SHEET_KEY:
            return self._to_day_sheet()
        elif key == EXPOSURE_KEY and not self.is_exposure:
            self.tool.open_screen("exposure", self.tool.form, *self.exposure_plate())
            return True
        elif not self.pressed(key, None):
            here = {LOG_KEY: "the log", EXPOSURE_KEY: "the exposure page", BOTTLES_KEY: "the list of bottles"}
            is_here = key in here or self.is_log
            self.message = f"this is {here.get(key, 'the log')}" if is_here else elsewhere(key)
        return False

    def _to_list(self, is_list: Callable[[Page], bool], open_list: Callable[[], None]) -> bool:
        """Go back to a list that stands below this page, or open it; nothing that was typed is lost."""
        self.message = self.leave_refused()
        if self.message:
            return False
        stack = self.app.screen_stack
        lists = [place for place, screen in enumerate(stack) if isinstance(screen, Page) and is_list(screen)]
        if not lists:
            open_list()
            return True
        for _ in range(len(stack) - 1 - lists[-1]):
            self.app.pop_screen()
        return True

    def _to_day_sheet(self) -> bool:
        """Open the day's sheet over this page, or say why not."""
        self.message = open_day_sheet(self.tool)
        return not self.message

    def turn_day(self) -> None:
        """Change between red and the day theme, or say why not."""
        self.message = turn_day(self.tool)

    def draw(self) -> None:
        """Paint the page, and again when a clock of the bench shows another second."""
        if not self.is_attached:  # closed since: what a thread found comes too late
            return
        columns, rows = self.size.width, self.size.height
        if not columns or not rows:
            return
        self.tool.session.tick()
        self.tool.keep_dark()
        left, right = self.heading()
        page_rows = [spread([(left, "loud")], [(right, "text")], columns)]
        bench, foot = self.bench_rows(columns), self._foot(columns, max(1, rows // 3))
        room = max(0, rows - 1 - len(foot) - len(bench))
        body = [fill(row, columns) for row in self.body(columns, room)[:room]]
        page_rows += body + [fill([], columns)] * (room - len(body))
        page_rows += [*bench, *foot]
        self.face.put(page_rows[:rows], self.tool.style_of, self.tool.brightness_key)
        self.look_again(self.draw)

    def _foot(self, columns: int, most: int) -> list[Row]:
        """Return the message in as many rows as it takes, at most so many; the keys in one without it."""
        if self.message:
            lines = wrapped(self.message, columns - 2)
            return [fill([(f" {line} ", "reversed")], columns) for line in lines[:most]]
        keys = [*self.keys(), ("F9", "red" if self.tool.day else "day"), ("escape", "back")]
        gap = (
            "   "
            if sum(width(key) + width(description) + 4 for key, description in keys) - 3 <= columns
            else "  "
        )
        foot: Row = []
        for key, description in keys:
            key_spans: Row = [(key, "text"), (f" {description}{gap}", "quiet")]
            if sum(width(text) for text, _ in (*foot, *key_spans)) - len(gap) > columns:
                break
            foot += key_spans
        last, kind = foot.pop() if foot else ("", "text")
        return [fill([*foot, (last.rstrip(), kind)], columns)]

    def bench_rows(self, columns: int) -> list[Row]:
        """Return the row that tells of the plates on the bench; none while it is empty."""
        tool = self.tool
        view = bench_view(tool.session.bench, tool.session.now())
        plates = ([view.large] if view.large else []) + list(view.rail)
        self._calling = any(plate.calling is not None for plate in plates)
        if not plates:
            return []
        entries: Row = [rail_entry(plate) for plate in plates]
        called: Row = [(" escape: to the bench ", "reversed")] if self._calling else []
        return [spread([(LIGHT_SENTENCE[view.light] + "   ", "text"), *entries], called, columns)]
