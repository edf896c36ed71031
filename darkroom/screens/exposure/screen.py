"""The exposure page: one form, and beside it how long to open the lens, of what that is made, how sure it is.

The page draws at once: the log is read and learned from in a thread, and the newest question is answered.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from textual import events

from darkroom.bench.all_plates import recent
from darkroom.errors import DarkroomError
from darkroom.process.text.lens_words import magnification
from darkroom.process.text.light_words import stops_lost
from darkroom.process.text.plain_text import plain
from darkroom.screens.exposure.answer import Answer, Question
from darkroom.screens.exposure.answer_rows import further_rows, main_rows
from darkroom.screens.exposure.asking import Asker
from darkroom.screens.exposure.fields import (
    FORM_FIELDS,
    NAMED,
    all_fields,
    mistake,
    plate_form_of,
    shown_fields,
    speed,
    stops,
    strips,
    value_of,
)
from darkroom.screens.kit_options import offer_kit
from darkroom.screens.services import Services
from darkroom.screens.typed_elsewhere import take_texts
from darkroom.screens.widgets.ascii_page import in_ascii
from darkroom.screens.widgets.form import Field, Form
from darkroom.screens.widgets.form_page import FormPage
from darkroom.screens.widgets.rows import Row, fill, spread
from darkroom.session.exposure_proposal import pulls_text, rounded
from darkroom.session.plate_form import PlateForm
from darkroom.session.plate_wet import wet_seconds

BESIDE = 76
"""From so many columns on the answer stands beside the form, below it on a narrower screen."""
TWO_COLUMNS = 90
"""From so many columns on the answer stands in two of them."""
ROOMY = 30
"""From so many rows on the time is large."""
ASK_AGAIN = 60.0
"""The sun moves: what is asked of now is asked again after so many seconds."""
LABEL = 19
"""The cells of a field's name."""
STRIPS_KEY = "ctrl+t"
"""Takes the test plate."""


class ExposureScreen(FormPage):
    """The page for a plate like `form`; `plate`, where one is told, is the id of the plate it begins from.

    `number` stands in the form for it: a number may be that of several plates, and here it is of that one.
    """

    is_exposure = True

    def __init__(self, form: PlateForm, plate: str = "", number: str = "") -> None:
        super().__init__()
        tool = self.tool
        self.begun_with = form
        measured = recent(tool.session.bench, tool.session.now())
        self.process, self.developer, self.wet = _process_of(tool.services, form, measured)
        """The process's own name, the developer's temperature in °C, the wet time in seconds."""
        self.entries = all_fields(
            form, tool.services.planner.kit, "plate" if plate else "plates", number or plate
        )
        self.begun_from = number, plate
        self.form = Form(shown_fields(self.entries, "plate" if plate else "plates"))
        self.answer: Answer | None = None
        self.trouble = ""
        self.top = 0
        self._answer_rows: tuple[object, list[Row]] = (None, [])
        self._rest = 0
        """How many rows of the answer lie below what is in sight."""
        self.asker = Asker(tool.services.home, tool.from_thread, self._answered)

    # --- the question ------------------------------------------------------------------------------

    def on_mount(self) -> None:
        """Ask for what stands in the form; the toolkit calls the one of every page too."""
        self._ask()
        self.set_interval(ASK_AGAIN, self._ask)

    def on_unmount(self) -> None:
        """What is still reckoned is of no use any more."""
        self.asker.close()

    @property
    def question(self) -> Question | None:
        """What is asked now; None while a field cannot be read."""
        if mistake(self.form) is not None:
            return None
        fields = self.form.fields
        texts = {name: value_of(fields, name) for name in ("speed", "size", "stops", "strips")}
        form, word = plate_form_of(self.begun_with, fields), value_of(fields, "plate")
        return Question(
            source=value_of(fields, "source"),
            form=form,
            process=self.process,
            plate=self.begun_from[1] if word and word == self.begun_from[0] else word,
            speed=speed(texts["speed"]) if texts["speed"] else None,
            at=value_of(fields, "at"),
            size=magnification(texts["size"]) if texts["size"] else None,
            stops=stops(texts["stops"]) if texts["stops"] else None,
            developer=self.developer,
            wet=self.wet,
            strips=strips(texts["strips"]) if texts["strips"] else None,
        )

    def _ask(self) -> None:
        question = self.question
        if question is not None:
            services = self.tool.services
            self.asker.ask(question, services.planner.kit, datetime.fromisoformat(services.now_at()))

    def _answered(self, answer: Answer | None, trouble: str) -> None:
        self.answer, self.trouble = answer, trouble
        self.draw()

    @property
    def waiting(self) -> bool:
        """Whether the answer in sight is not the one to what stands in the form."""
        return self.answer is None or self.answer.question != self.question

    # --- keys --------------------------------------------------------------------------------------

    def pressed(self, key: str, character: str | None) -> bool:
        """Move, choose, type; enter takes the time, page up and down go through the answer."""
        if key == "enter":
            self._take_time()
        elif key == STRIPS_KEY:
            self._take_strips()
        elif key in ("pageup", "pagedown"):
            self.top = max(0, self.top + (-8 if key == "pageup" else min(8, self._rest)))
        elif key in ("escape", "f8"):
            return False
        else:
            self.form.key(key, character)
            self._typed()
        return True

    def on_paste(self, event: events.Paste) -> None:
        """Pasted text is typed."""
        self.form.paste(event.text)
        self._typed()
        self.draw()

    def _typed(self) -> None:
        """Show the fields of what the time is reckoned from, and ask anew."""
        offer_kit(self.entries, self.tool.services.planner.kit, NAMED)
        self.form.fields = shown_fields(self.entries, self.entries[0].value)
        self._ask()

    # --- taking what is proposed -------------------------------------------------------------------

    def _take_time(self) -> None:
        seconds = None if self.answer is None else self.answer.seconds
        self._take(None if seconds is None else f"{rounded(seconds):g} s", "no time to take yet")

    def _take_strips(self) -> None:
        answer = self.answer
        if answer is None or answer.strips is None:
            self._take(None, (answer and answer.no_strips) or "no test plate to take yet")
        else:
            self._take(pulls_text(answer.strips), "")

    def _take(self, exposure: str | None, why_not: str) -> None:
        """Give an exposure and the texts of the scene to the form of the next plate, and close."""
        if not self.form.check():
            return
        if self.tool.services.only_look:
            self.message = "another darkroom is at the bench: its form takes the time"
        elif self.waiting and not self.trouble:
            self.message = "still reckoning: once more in a moment"
        elif exposure is None or self.answer is None:
            self.message = why_not
        else:
            texts = {field.id: field.value for field in self.form.fields if field.id in FORM_FIELDS}
            texts |= self._size_texts(self.answer)
            take_texts(self.tool, {**texts, "exposure": exposure})
            self.dismiss(None)

    def _size_texts(self, answer: Answer) -> dict[str, str]:
        """Return what a picture's size is in the form of a plate: a draw, or the stops that it takes."""
        if answer.question.size is None:
            return {}
        if answer.draw is not None:
            return {"draw": f"{answer.draw:.4g}"}
        other = answer.question.form.other
        lost = (stops_lost(other) if other.strip() else 0.0) + answer.size_lost
        return {"draw": "", "other": f"{lost:.2f}"}

    # --- drawing -----------------------------------------------------------------------------------

    def heading(self) -> tuple[str, str]:
        """What this is, and whether the answer is still reckoned."""
        busy = self.waiting and not self.trouble and mistake(self.form) is None
        process = self.process if self.answer is None else self.answer.process or self.process
        return f"EXPOSURE  {plain(process)}", "reckoning …" if busy else ""

    def keys(self) -> list[tuple[str, str]]:
        """What can be done here: what there is to take, and how to go on."""
        answer = self.answer
        keys = [("enter", "take")] if answer is not None and answer.seconds is not None else []
        keys += [(STRIPS_KEY, "take the test plate")] if answer is not None and answer.strips else []
        keys += [("page down", "more")] if self._rest or self.top else []
        return [*keys, *([("up down", "move"), ("left right", "choose")] if self.size.width >= 100 else [])]

    def body(self, columns: int, rows: int) -> list[Row]:
        """The form, the answer beside or below it, and a row of help."""
        room = max(1, rows - 1)
        if columns >= BESIDE:
            page_rows = self._beside(columns, room)
        else:
            fields = min(len(self.form.fields), max(3, room // 2 - 1))
            shown = self.form.fields[self.form.window(fields)]
            page_rows = [self._line(field, columns) for field in shown]
            page_rows += [[], *self._answer(columns, room - len(page_rows) - 1)]
        page_rows += [[]] * (room - len(page_rows))
        wrong = self.form.mistake or mistake(self.form)
        help_row: Row = [(plain(wrong or self.form.current.hint), "loud" if wrong else "text")]
        return [*page_rows[:room], fill(help_row, columns)]

    def _beside(self, columns: int, rows: int) -> list[Row]:
        form_columns = max(36, min(52, columns * 2 // 5))
        answer_columns = columns - form_columns - 2
        shown = self.form.fields[self.form.window(min(rows, len(self.form.fields)))]
        left = [fill(self._line(field, form_columns), form_columns) for field in shown]
        left += [fill([], form_columns)] * (rows - len(left))
        right = self._answer(answer_columns, rows)
        right += [[]] * (rows - len(right))
        return [[*one, ("  ", "text"), *other] for one, other in zip(left, right, strict=True)]

    def _line(self, field: Field, columns: int) -> Row:
        kind = "text" if field is self.form.current else "quiet"
        return self.form.line(field, [(f"{field.label:<{LABEL}} ", kind)], columns)

    def _answer(self, columns: int, rows: int) -> list[Row]:
        """Return the part of the answer in sight, `rows` rows at most."""
        if self.trouble:
            return [[(plain(self.trouble), "loud")]]
        if self.question is None:  # a time of what stood there before would be taken for this one
            return [[("Something in the form cannot be read: no time.", "loud")]]
        if self.answer is None:
            return [[("reading your plates …", "quiet")]]
        key = (self.answer, self.waiting, columns, rows)
        if self._answer_rows[0] != key:
            self._answer_rows = key, self._all_rows(self.answer, columns, rows >= ROOMY)
        all_rows = self._answer_rows[1]
        self.top = max(0, min(self.top, len(all_rows) - rows))
        shown = all_rows[self.top : self.top + rows]
        self._rest = max(0, len(all_rows) - self.top - rows)
        if self._rest:
            more: Row = [(f"page down: {self._rest + 1} rows more", "quiet")]
            shown[-1] = spread([], more, columns)
        return shown

    def _all_rows(self, answer: Answer, columns: int, roomy: bool) -> list[Row]:
        """Return every row of the answer; a wide one in two columns."""
        blocks = self.tool.blocks
        simple = blocks == "spaces"
        half = columns // 2 - 1 if columns >= TWO_COLUMNS else columns
        one = main_rows(answer, half, roomy, blocks, self.waiting)
        other = further_rows(answer, columns - half - 2 if half < columns else columns, simple)
        if half == columns:
            all_rows = [*one, [], *other]
        else:
            height = max(len(one), len(other))
            one, other = one + [[]] * (height - len(one)), other + [[]] * (height - len(other))
            all_rows = [
                [*fill(left, half), ("  ", "text"), *right] for left, right in zip(one, other, strict=True)
            ]
        return in_ascii(all_rows) if simple else all_rows


def _process_of(
    services: Services, form: PlateForm, measured: Mapping[str, tuple[float, str]]
) -> tuple[str, float | None, float | None]:
    """Return the name of a form's process, the developer's temperature, the wet time; "" and None for none.

    `measured` are the readings that a new plate takes from the bench.
    """
    try:
        process = services.processes.read(form.process)
    except DarkroomError:
        return "", None, None
    developer = services.planner.conditions(form, process).developer
    return process.name, developer, wet_seconds(form, process, measured)
