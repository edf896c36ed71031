"""The home screen: what is typed with dry hands before a plate, one widget that draws a form.

Up and down move, left and right change a choice, enter puts the plate on the bench.
"""

from __future__ import annotations

from dataclasses import dataclass

from textual import events
from textual.widget import Widget

from darkroom.bench.view import bench_view
from darkroom.process.model import SOURCES
from darkroom.screens.host import HostScreen
from darkroom.screens.lettering import lettering
from darkroom.screens.widgets.face import Face
from darkroom.screens.widgets.plate_summary import LIGHT_SENTENCE, rail_entry
from darkroom.screens.widgets.rows import Row, clip, fill, spread, width
from darkroom.session.key_map import form_key
from darkroom.session.plate_form import Form, check

YES_NO = ("yes", "no")
LOG_KEY = "f2"
DRAW_EVERY = 0.25
"""The clocks of the plates on the bench are drawn anew this often, in seconds."""


@dataclass(frozen=True, slots=True)
class Field:
    """One line of the form: `options` make it a choice."""

    id: str
    label: str
    hint: str = ""
    options: tuple[str, ...] = ()


LEFT = (
    Field("process", "process", "Left and right choose; enter puts a plate on the bench."),
    Field("subject", "subject", "What is on the plate."),
    Field("who", "who", "Who makes it."),
    Field("size", "plate size", "As you name it: half plate, 4x5, 18x24 cm."),
    Field("lens", "lens"),
    Field("aperture", "aperture", "f/4, or the stop you put in."),
    Field("light", "light", "Open shade, north window, what the meter says."),
    Field("exposure", "exposure", "8 s · steps 2,2,4 · 2,2,4 strike · 4 flashes 20 s · empty: counts up."),
    Field("timed", "reach keys", "Can you reach the keys from the camera?", YES_NO),
    Field("carry", "carrying back", "How long from the camera to the developer."),
)
RIGHT = (
    *(
        Field(f"temperature {source}", source, "°C, or 68 F. Left empty, the process says what it assumes.")
        for source in SOURCES
    ),
    Field("humidity", "humidity", "Per cent, of the room where the plate waits."),
    Field("wet", "stays wet", "Your own time from bath to developer. Left empty, it is estimated."),
    Field("prepare", "time cleaning", "Does the clock run for the first, optional stages too?", YES_NO),
    Field(
        "daylight", "in daylight", "Does this screen stand in daylight? Back to red at each start.", YES_NO
    ),
)
FIELDS = (*LEFT, *RIGHT)


class HomeScreen(HostScreen[None]):
    """The form; its values go to the plate and are remembered."""

    def __init__(self, form: Form) -> None:
        super().__init__()
        self.face = Face()
        self.active = "process"
        self.cursor = 0
        self.wrong: dict[str, str] = {}
        self.message = ""
        self.values = {field.id: _get(form, field.id) for field in FIELDS}

    def compose(self) -> list[Widget]:
        """Return the one widget."""
        return [self.face]

    def on_mount(self) -> None:
        """Draw, and follow the clocks of the plates on the bench."""
        self.values.update(self.tool.parts.draft)
        names = self._names()
        if not self.values["process"] and names:
            self.values["process"] = "clear-glass" if "clear-glass" in names else names[0]
        self.set_interval(DRAW_EVERY, self.draw)
        self.draw()

    def on_resize(self, event: events.Resize) -> None:
        """Draw for the new size."""
        self.draw()

    def took(self, field: str, text: str) -> None:
        """Take what was typed elsewhere meanwhile: the field holds what was typed last."""
        self.values[field] = text
        self.wrong.pop(field, None)
        self.draw()

    def on_screen_resume(self) -> None:
        """Ask what the last plates said to change: one may have been judged meanwhile."""
        self.tool.parts.advice.ask(self.tool.from_thread, self.draw)

    # --- keys ------------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        """Move, type, choose; enter puts the plate on the bench, escape goes to the bench or the menu."""
        event.stop()
        event.prevent_default()
        recogniser = self.tool.session.recogniser
        key = form_key(recogniser.zone_of, event.key, event.is_printable)
        acts = key in ("enter", "escape")
        if not recogniser.taken_elsewhere(event.key if acts else "", self.tool.session.hands.up()):
            return
        self.message = ""
        field = next(field for field in FIELDS if field.id == self.active)
        choice = bool(field.options) or field.id == "process"
        if key in ("down", "tab"):
            self._move(1)
        elif key in ("up", "shift+tab"):
            self._move(-1)
        elif key == "enter":
            self.submit()
            return
        elif key == "escape":
            self.escape()
            return
        elif key == LOG_KEY:
            self.tool.parts.draft = dict(self.values)  # from the log one may come back to the bench
            self.tool.look_back()
            return
        elif choice:
            if key in ("left", "right", "space"):
                self._turn(field, -1 if key == "left" else 1)
        else:
            self._edit(key, event.character)
        self.draw()

    def _move(self, by: int) -> None:
        ids = [field.id for field in FIELDS]
        self.active = ids[(ids.index(self.active) + by) % len(ids)]
        self.cursor = len(self.values[self.active])

    def _names(self) -> list[str]:
        """The processes to choose from; a file named on the command line stays among them."""
        names = self.tool.process_names
        used = self.tool.form.process
        return names if not used or used in names else [*names, used]

    def _turn(self, field: Field, by: int) -> None:
        options = self._names() if field.id == "process" else list(field.options)
        if options:
            value = self.values[field.id]
            at = options.index(value) if value in options else 0
            self.values[field.id] = options[(at + by) % len(options)]

    def _edit(self, key: str, character: str | None) -> None:
        text, at = self.values[self.active], min(self.cursor, len(self.values[self.active]))
        if key == "left":
            at = max(0, at - 1)
        elif key == "right":
            at = min(len(text), at + 1)
        elif key == "home":
            at = 0
        elif key == "end":
            at = len(text)
        elif key == "backspace":
            text, at = text[: max(0, at - 1)] + text[at:], max(0, at - 1)
        elif key == "delete":
            text = text[:at] + text[at + 1 :]
        elif key == "ctrl+u":
            text, at = "", 0
        elif character is not None and character.isprintable() and len(text) < 200:
            text, at = text[:at] + character + text[at:], at + 1
        self.values[self.active], self.cursor = text, at
        self.wrong.pop(self.active, None)

    def on_paste(self, event: events.Paste) -> None:
        """A paste with dry hands is text for the active field."""
        for character in event.text.splitlines()[0] if event.text else "":
            self._edit("", character)
        self.draw()

    # --- leaving the form --------------------------------------------------------------------

    def form(self) -> Form:
        """Return what is typed."""
        form = Form(temperatures={})
        for key, value in self.values.items():
            if key.startswith("temperature "):
                form.temperatures[key.removeprefix("temperature ")] = value
            elif key in ("prepare", "daylight"):
                setattr(form, key, value == "yes")
            elif key == "timed":
                form.timed = "here" if value == "yes" else "away"
            else:
                setattr(form, key, value)
        return form

    def submit(self) -> None:
        """Put the plate on the bench when every field can be read."""
        form = self.form()
        self.wrong = check(form)
        if self.wrong:
            self.active = next(iter(self.wrong))
            self.cursor = len(self.values[self.active])
            self.draw()
            return
        self.tool.parts.draft = {}
        self.message = self.tool.offer(form)
        self.draw()

    def escape(self) -> None:
        """Back to the bench when there are plates on it; else the menu."""
        if self.tool.session.bench.on_bench:
            self.tool.parts.draft = dict(self.values)
            self.app.pop_screen()
        else:
            self.tool.open_menu()

    # --- drawing -----------------------------------------------------------------------------

    def draw(self) -> None:
        """Paint the form."""
        if not self.is_attached:  # closed since: what a thread found comes too late
            return
        columns, rows = self.size.width, self.size.height
        if not columns or not rows:
            return
        tool = self.tool
        tool.session.tick()
        top = 3 if rows < 36 else 5
        word = f"PLATE {tool.parts.next_number()}"
        letters = lettering.rows(word, columns // 2, top, blocks=tool.blocks, align="left",
                                 meaning="text")  # fmt: skip
        view = bench_view(tool.session.bench, tool.session.now())
        found: list[Row] = []
        told = self._told(view)
        for index in range(top):
            right: Row = [(told[index], "text")] if index < len(told) else []
            found.append(spread(letters[index], right, columns))
        found.append(fill([], columns))
        found += self._lines(columns, rows - top - 4)
        found += [fill([], columns)] * (rows - 3 - len(found))
        active = next(field for field in FIELDS if field.id == self.active)
        wrong = self.wrong.get(self.active)
        amiss = wrong or self.message
        wide = columns >= 100
        gap = "   " if wide else "  "
        found.append(fill([(amiss or active.hint, "loud" if amiss else "text")], columns))
        found.append(fill([(tool.last_time(self.values["process"]) or "", "loud")], columns))
        found.append(
            spread(
                [
                    ("enter", "text"),
                    (f" to the bench{gap}", "quiet"),
                    ("up down", "text"),
                    (f" move{gap}", "quiet"),
                    ("escape", "text"),
                    (f" {'bench and menu' if wide else 'menu'}{gap}", "quiet"),
                    ("F2", "text"),
                    (" the log" if wide else " log", "quiet"),
                ],
                [(tool.notice or "", "loud")],
                columns,
            )
        )
        self.face.put(found[:rows], tool.style_of, tool.brightness_key)

    def _told(self, view: object) -> list[str]:
        from darkroom.bench.view import BenchView

        assert isinstance(view, BenchView)
        plates = ([view.large] if view.large else []) + list(view.rail)
        told = [LIGHT_SENTENCE[view.light]]
        if plates:
            told.append("on the bench:" + "".join(rail_entry(plate)[0] for plate in plates).rstrip())
        if view.rack:
            told.append(f"on the rack: {view.rack} (in the menu)")
        return told

    def _lines(self, columns: int, rows: int) -> list[Row]:
        if columns >= 76:
            half = columns // 2 - 1
            left = [self._line(field, half) for field in LEFT]
            right = [self._line(field, columns - half - 2) for field in RIGHT]
            blank = fill([], half)
            lines = [
                [*(left[i] if i < len(left) else blank), ("  ", "text"),
                 *(right[i] if i < len(right) else fill([], columns - half - 2))]
                for i in range(max(len(left), len(right)))
            ]  # fmt: skip
            if rows >= 2 * len(lines):
                lines = [line for pair in lines for line in (pair, fill([], columns))]
            return lines[:rows]
        lines = [self._line(field, columns) for field in FIELDS]
        at = [field.id for field in FIELDS].index(self.active)
        first = max(0, min(at - rows // 2, len(lines) - rows))
        return lines[first : first + rows]

    def _line(self, field: Field, columns: int) -> Row:
        value = self.values[field.id]
        active = field.id == self.active
        kind = "loud" if field.id in self.wrong else "text"
        label: Row = [(f"{field.label:<14} ", "quiet" if not active else "text")]
        if not active:
            return fill([*label, (value, kind)], columns)
        choice = bool(field.options) or field.id == "process"
        if choice:
            return fill([*label, (f" ‹ {value} › ", "reversed")], columns)
        room = columns - 17
        shown = value if width(value) < room else value[-(room - 1) :]
        at = max(0, min(len(shown), self.cursor - (len(value) - len(shown))))
        under = shown[at : at + 1] or " "
        return fill(
            [*label, (" " + shown[:at], "reversed"), (under, "text"), (shown[at + 1 :] + " ", "reversed")],
            columns,
        )


def _get(form: Form, field: str) -> str:
    if field.startswith("temperature "):
        return form.temperatures.get(field.removeprefix("temperature "), "")
    if field in ("prepare", "daylight"):
        return "yes" if getattr(form, field) else "no"
    if field == "timed":
        return "no" if form.timed == "away" else "yes"
    return clip(str(getattr(form, field)), 200)
