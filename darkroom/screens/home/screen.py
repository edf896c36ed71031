"""The home screen: what is typed with dry hands before a plate, one widget that draws a form."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import events
from textual.widget import Widget

from darkroom.bench.all_plates import recent
from darkroom.bench.view import bench_view
from darkroom.bench.working_day import hour
from darkroom.process.model import Process
from darkroom.screens.home.bottle_rows import BottleRows
from darkroom.screens.home.form_rows import (
    advice_words,
    bench_texts,
    due_row,
    field_rows,
    keys_row,
    proposal_row,
    told_lines,
    with_fault,
)
from darkroom.screens.home.function_keys import function_key
from darkroom.screens.home.last_advice import Advice
from darkroom.screens.home.offers import offer_exposure, offer_readings
from darkroom.screens.home.plate_fields import (
    CHANGED_BY,
    DAYLIGHT,
    WHERE_SAID,
    assumed_texts,
    left_fields,
    plate_form_of,
    process_text,
    right_fields,
    source_of,
    with_said,
)
from darkroom.screens.home.read_processes import ReadProcesses
from darkroom.screens.host import HostScreen
from darkroom.screens.kit_options import offer_kit
from darkroom.screens.lettering import lettering
from darkroom.screens.widgets.face import Face
from darkroom.screens.widgets.form import Form, FormKeys
from darkroom.screens.widgets.page import FUNCTION_KEYS
from darkroom.screens.widgets.rows import fill, spread, width
from darkroom.session.bottle_choice import role_of
from darkroom.session.plate_form import PlateForm
from darkroom.session.plate_wet import wet_seconds

if TYPE_CHECKING:
    from darkroom.exposure.learned import Learned

PLAN_EVERY = 60.0
"""The light of a place changes with the sun: what is proposed follows it this often, in seconds."""


class HomeScreen(HostScreen[None]):
    """The form; its values go to the plate and are remembered."""

    def __init__(self, form: PlateForm) -> None:
        super().__init__()
        self.face = Face()
        self.message = ""
        tool = self.tool
        self.offered = form.stale(tool.session.clock.wall())
        self.read_at = dict(form.read_at)
        self.left = left_fields(form, self._names(form))
        self.right = right_fields(form, None if tool.session.needs_safelight else tool.stands_in_daylight)
        self.bottle_rows = BottleRows(form)
        self.bottle_rows.place(self.left, self.right, None, tool.services.bottles)
        self.form = Form([*self.left, *self.right])
        self.keys = FormKeys(tool.session)
        self._processes = ReadProcesses(tool.services.processes)
        self.learned: Learned | None = None
        """What the judged plates propose for what stands in the form; None while that is not known."""
        self.no_time = ""  # what is wrong with the light and lens that were told
        self.remarks: dict[str, str] = {}
        """{field: what is odd about the name in it}."""
        self._asked = False
        self.form.at("process").show = lambda name: process_text(name, self._processes.read)
        offer_readings(self.form.fields, self.offered, self._hour)

    def _hour(self, source: str) -> str:
        return hour(self.tool.session.clock.stamp(self.read_at.get(source, 0.0)))

    @property
    def values(self) -> dict[str, str]:
        """What stands in each field: {field id: text}."""
        return {field.id: field.value for field in self.form.fields}

    def compose(self) -> list[Widget]:
        """Return the one widget."""
        return [self.face]

    def on_mount(self) -> None:
        """Draw, and follow the clocks of the plates on the bench."""
        memory = self.tool.services.memory
        for name, text in memory.draft.items():
            self._put(name, text)
        self.read_at |= memory.draft_read_at
        process = self.form.at("process")
        if not process.value and process.options:
            process.value = "clear-glass" if "clear-glass" in process.options else process.options[0]
        self.set_interval(PLAN_EVERY, self._show_assumed)
        self.draw()
        self.call_after_refresh(self._show_assumed)

    def on_resize(self, event: events.Resize) -> None:
        """Draw for the new size."""
        self.draw()

    def take_field(self, field: str, text: str) -> None:
        """Take what was typed elsewhere meanwhile: the field holds what was typed last."""
        self.bottle_rows.remember(self.tool.form)
        self._put(field, text)
        self._note_typed(field)
        self._show_assumed()

    def _put(self, name: str, text: str) -> None:
        """Give a field a text; one that stands here only where something is said comes with it."""
        if text and name in WHERE_SAID and all(field.id != name for field in self.left):
            self.left = with_said(self.left, name)
            self.form.fields = [*self.left, *self.right]
        if any(field.id == name for field in self.form.fields):
            self.form.put(name, text)

    def on_screen_resume(self) -> None:
        """Draw where nothing looks at the clock by itself, and ask the log anew: a plate may have ended."""
        if self._next_look is None:
            self.draw()
        self.tool.when_seen(self._ask_log)

    def _ask_log(self) -> None:
        """Ask what the last plates said to change, how long they were carried, and the book of bottles."""
        if not self.is_attached:  # closed before it was seen
            return
        self.tool.services.advice.ask(self.tool.from_thread, self._show_assumed)
        self.tool.services.carrying.ask(self.tool.from_thread, self._show_assumed)
        self.call_after_refresh(self._plan, again=True)
        self.call_after_refresh(self.tool.services.bottles.ask, self.tool.from_thread, self._show_assumed)

    # --- keys ------------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        """Move, type, choose; enter puts the plate on the bench, escape goes to the bench or the menu."""
        event.stop()
        event.prevent_default()
        key = self.keys.key_for_form(event)
        if key is None:
            return
        self.message, memory = "", self.tool.services.memory
        if key == "enter":
            self.submit()
        elif key == "escape":
            self.escape()
        elif key in FUNCTION_KEYS:
            memory.keep_draft(self.values, self.read_at)  # from the log one may come back to the bench
            self.message = function_key(self.tool, key, self._plate_form())
            self.draw()
        elif self.form.current.closed and event.is_printable:
            self.message = CHANGED_BY  # a wet hand presses go: it must not change the process
            self.draw()
        else:
            field = self.form.current
            before = field.value
            self.form.key(key, event.character)
            if field.value != before:
                self._note_typed(field.id)
            self._show_assumed()

    def on_paste(self, event: events.Paste) -> None:
        """A paste with dry hands is text for the active field."""
        self.form.paste(event.text)
        self._note_typed(self.form.current.id)
        self._show_assumed()

    def _note_typed(self, field: str) -> None:
        """Note when a reading was typed, and whether the hand chose none of the bottles."""
        source = source_of(field)
        self.bottle_rows.note_hand(self.form.fields, field, self.tool.form)
        if source is not None:
            self.read_at[source] = self.tool.session.clock.wall()

    def _plate_form(self) -> PlateForm:
        """Return the form of the plate as it stands here."""
        form = plate_form_of(self.values, self.read_at)
        self.bottle_rows.name(form, self.values, self.tool.session.bench.bottles, self._process())
        return form

    def _process(self) -> Process | None:
        """Return the process of the form, None where its file is wrong."""
        return self._processes.read(self.form.at("process").value)

    def _advice(self) -> Advice | None:
        return self.tool.last_time(self.form.at("process").value)

    def _show_assumed(self) -> None:
        """Show in each empty field what holds while it is empty, and draw."""
        session = self.tool.session
        self._plan()
        offer_kit(self.form.fields, self.tool.services.planner.kit)
        measured, process = recent(session.bench, session.now()), self._process()
        wet = wet_seconds(self._plate_form(), process, measured)
        offer_exposure(self.form.at("exposure"), self._advice(), self.learned, wet)
        texts = assumed_texts(process, self.values, measured, self.tool.services.carrying.of)
        self.bottle_rows.place(self.left, self.right, process, self.tool.services.bottles)
        self.form.take_fields([*self.left, *self.right])
        for field in self.form.fields:
            field.assumed = texts.get(field.id, field.assumed if role_of(field.id) else "")
            source = source_of(field.id)
            if source in self.offered:
                field.assumed = f"{self.offered[source]} at {self._hour(source)}?"
        self.draw()

    def _plan(self, again: bool = False) -> None:
        """Ask what the judged plates propose, with `again` from the log as it is now; take what is known."""
        process = self._process()
        if process is None or not (again or self._asked):
            return
        self._asked = True  # the first frame waits for no log
        planner = self.tool.services.planner
        form = self._plate_form()
        self.no_time = next(iter(planner.mistakes(form).values()), "")
        self.remarks = planner.remarks(form, self.form.current.id)
        conditions = planner.conditions(form, process)
        if self.app.screen is self:  # the form that is seen asks
            planner.ask(conditions, self.tool.from_thread, self._show_assumed, again=again)
        self.learned = planner.of(conditions)

    def _names(self, form: PlateForm) -> list[str]:
        """The processes to choose from; a file named on the command line stays among them."""
        names = self.tool.process_names
        return names if not form.process or form.process in names else [*names, form.process]

    # --- leaving the form --------------------------------------------------------------------

    def submit(self) -> None:
        """Put the plate on the bench when every field can be read."""
        values = self.values
        mistakes = self.tool.services.planner.mistakes(self._plate_form())
        if self.form.check() and self.form.show_mistakes(mistakes):
            self.tool.services.memory.keep_draft({}, {})
            if DAYLIGHT in values:
                self.tool.set_daylight(values[DAYLIGHT] == "yes")
            self.message = self.tool.offer(self._plate_form())
        self.draw()

    def escape(self) -> None:
        """Back to the bench when there are plates on it; else the menu."""
        if self.tool.session.bench.on_bench:
            self.tool.services.memory.keep_draft(self.values, self.read_at)
            self.app.pop_screen()
        else:
            self.tool.open_menu()

    # --- drawing -----------------------------------------------------------------------------

    def draw(self) -> None:
        """Paint the form, and again when a clock of the bench shows another second."""
        if not self.is_attached:  # closed since: a thread's answer comes too late
            return
        tool, columns, rows = self.tool, self.size.width, self.size.height
        if not columns or not rows:
            return
        tool.session.tick()
        top = 3 if rows < 36 else 5
        heading = f"PLATE {tool.services.next_number()}"
        letters = lettering.rows(heading, columns // 2, top, blocks=tool.blocks, align="left", meaning="text")
        view = bench_view(tool.session.bench, tool.session.now())
        texts = [*bench_texts(view), *[""] * top]
        page_rows = [spread(letters[index], [(texts[index], "text")], columns) for index in range(top)]
        due = "" if tool.rehearsal else tool.services.due_line()
        page_rows.append(due_row(columns, view, due))
        room, process = rows - top - 5, self._processes.known(self.form.at("process").value)
        page_rows += field_rows(self.form, self.left, self.right, columns, room)
        confirmed = (process is not None and tool.confirmed_text(process)) or ""
        others = [text for field, text in self.remarks.items() if field != self.form.current.id]
        advice = advice_words(self._advice(), self.learned, self.form.at("exposure").value)
        said = "; ".join(filter(None, [*others[:1], advice]))
        fault = tool.services.fault_before(self.form.at("process").value)
        if not with_fault(page_rows, fault, columns, rows - 4, top) and fault:
            cells = columns - (width(confirmed) + 1 if confirmed else 0)
            *above, said = told_lines(fault, self._advice(), said, cells, room)
            page_rows[top + 1 :] = field_rows(self.form, self.left, self.right, columns, room - len(above))
            page_rows += [fill([], columns)] * (rows - 4 - len(above) - len(page_rows))
            page_rows += [fill([(line, "loud")], columns) for line in above]
        page_rows.append(proposal_row(columns, self.learned, self.no_time))
        mistake = self.message or self.form.mistake  # what the last key did comes first
        remark = mistake or self.remarks.get(self.form.current.id)
        page_rows.append(fill([(remark or self.form.current.hint, "loud" if remark else "text")], columns))
        page_rows.append(spread([(said, "loud")], [(confirmed, "text")] if confirmed else [], columns))
        page_rows.append(keys_row(columns, tool.notice or ""))
        self.face.put(page_rows[:rows], tool.style_of, tool.brightness_key)
        self.look_again(self.draw)
