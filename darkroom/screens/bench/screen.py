"""The bench screen: one widget that draws the face, awake just when something changes."""

from __future__ import annotations

from textual import events
from textual.timer import Timer
from textual.widget import Widget

from darkroom.bench import questions
from darkroom.bench.all_plates import Bench
from darkroom.bench.view import BenchView, bench_view
from darkroom.screens.bench.layout import face
from darkroom.screens.bench.menu import proposed_next
from darkroom.screens.bench.rail import BenchStatus
from darkroom.screens.host import HostScreen
from darkroom.screens.next_change import LONGEST_SLEEP, seconds_to_change
from darkroom.screens.widgets.face import Face
from darkroom.screens.widgets.rows import Row
from darkroom.session.actions import Footer

RESTING = 0.5
"""While no plate is followed, the session is looked at this often, in seconds: twice in the least stall."""
PROPOSED_EVERY = 2.0
"""What the menu proposes is asked for again after so many seconds: learning has a thread of its own."""
ANSWER_STAYS = 4.0
"""An answer stands on the screen for so many seconds."""


class BenchScreen(HostScreen[None]):
    """The live bench."""

    def __init__(self) -> None:
        super().__init__()
        self.face = Face()
        self._timer: Timer | None = None
        self.blackout = False
        self.is_stale = True
        """Something has happened that is not drawn yet."""
        self.tells_unsaved = False
        """What was drawn last says that something is not saved."""
        self.footer = Footer()
        self._proposal: tuple[Bench | None, float, str | None] = (None, 0.0, None)
        """The bench that was asked what the menu proposes, when, and the answer."""
        self._came_back_untold = False

    def compose(self) -> list[Widget]:
        """Return the one widget."""
        return [self.face]

    def on_mount(self) -> None:
        """Begin to look at the clock."""
        self.wake()

    def on_screen_resume(self) -> None:
        """Draw anew when a menu is closed; say then which plates came back where a question stood over it."""
        if self._came_back_untold:
            self.say_came_back()
        self.wake()

    def say_came_back(self) -> None:
        """Say which plates came back, now or when the bench is seen: a question over it hides the answer."""
        self._came_back_untold = self.app.screen is not self
        if not self._came_back_untold:
            self.tool.session.say_came_back()

    def on_resize(self, event: events.Resize) -> None:
        """Draw for the new size."""
        self.wake()

    def on_key(self, event: events.Key) -> None:
        """Every key is the bench's; none is the toolkit's."""
        event.stop()
        event.prevent_default()
        self.tool.bench_key(event.key, self.tool.session.real_clock.up_at(event.time))

    def wake(self) -> None:
        """Decide what is due, draw, and sleep until the next change."""
        if self._timer is not None:
            self._timer.stop()
            self._timer = None
        session = self.tool.session
        session.tick()
        self.tool.keep_dark()
        self.tool.services.tell_simulated_readings()
        self.tool.services.look_for_lessons()
        self.tool.cue_sender.ring(session.now())
        nothing_yet = not session.bench.plates and len(self.app.screen_stack) < 2
        if nothing_yet or not self.is_active:
            sleep = LONGEST_SLEEP if session.bench.followed else RESTING
            due, now = session.next_due(), session.now()
            if due is not None:
                sleep = min(sleep, max(0.005, (due - now) / self.tool.speed))
        else:
            now = session.now()
            view = bench_view(session.bench, now)
            self.draw(view, now)
            sleep = seconds_to_change(session, view, now, self.tool.speed, RESTING)
        self._timer = self.set_timer_behind_keys(sleep, self.wake)

    def draw(self, view: BenchView, now: float) -> None:
        """Paint the face for this instant."""
        self.is_stale = False
        tool = self.tool
        size = self.size
        if size.width == 0 or size.height == 0:
            return
        if self.blackout:
            rows: list[Row] = [[(" " * size.width, "ground")]] * size.height
        else:
            rows = face(view, self._status(now), size.width, size.height, blocks=tool.blocks)
        self.face.put(rows, tool.style_of, tool.brightness_key)

    def _status(self, now: float) -> BenchStatus:
        tool = self.tool
        answer = tool.session.answer
        lessons = tool.lessons
        hint = None if lessons is None else f"{lessons.place()}: {lessons.text(tool.session.real_clock.up())}"
        pretended = lessons is not None and "sound_lost" in lessons.faults(tool.session.real_clock.up())
        fresh = answer is not None and now - answer.up < ANSWER_STAYS * tool.speed
        state = tool.session.bench.shown
        if answer is not None and state is not None and questions.is_over(state, answer.text, now):
            fresh = False  # a strike would do what was called since
        offered = self.footer.at(tool.session.bench, now)
        keys = tuple((tool.key_names[action], label) for action, label in offered if action in tool.key_names)
        unsaved = tool.unsaved()
        self.tells_unsaved = bool(unsaved)
        return BenchStatus(
            answer=answer.text if fresh and answer and answer.written else None,
            answer_good=answer.good if answer else True,
            unsaved=unsaved,
            notice="sound lost" if pretended else tool.notice,
            lesson=hint,
            keys=keys,
            rehearsal=tool.rehearsal,
            caution_page=int(now / tool.speed // 4),
            proposed=self._proposed(),
            clearing=None if state is None else tool.services.bottles.clearing_words(state),
        )

    def _proposed(self) -> str | None:
        """Return what the menu proposes, while the large plate waits for nothing; asked now and then."""
        tool = self.tool
        bench, state, up = tool.session.bench, tool.session.bench.shown, tool.session.real_clock.up()
        if state is not None and not (state.racked or state.phase == "ended"):
            return None
        asked_of, asked_at, told = self._proposal
        if asked_of is not bench or not 0 <= up - asked_at < PROPOSED_EVERY:
            proposed = proposed_next(tool)
            told = None if proposed is None else proposed[0]
            self._proposal = bench, up, told
        return told
