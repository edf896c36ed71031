"""The menu of the bench: everything that is not a strike. The clocks go on behind it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from darkroom.bench import intents as want
from darkroom.bench.all_plates import NEW, with_large
from darkroom.bench.next_plate import (
    STOPS,
    WORDS,
    got,
    proposal,
    proposed_seconds,
    stops_text,
    strips_got,
)
from darkroom.process.text.durations import show_short
from darkroom.screens.bench import bottle_lists, typed_settings
from darkroom.screens.host import Host
from darkroom.screens.widgets.chooser import Choice, Chooser
from darkroom.session.actions import BY_ID, LEAVE_OUT, MENU, REASONS, Action
from darkroom.session.exposure_proposal import after_judging, brief, rounded

SAVED_BY = 1.5
"""A judgement said at the bench is read back from the log after so many seconds."""


def open_menu(tool: Host) -> None:
    """Show the menu; what is chosen happens to the plate that is large now, whichever is by then."""
    bench, now = tool.session.bench, tool.session.now()
    plate = bench.large
    is_guided = tool.lessons is not None and not tool.lessons.done
    actions = (*MENU, LEAVE_OUT) if is_guided else MENU
    proposed = proposed_next(tool)
    choices = [
        Choice(action.id, _label(action, proposed), action.help, action.why_not(bench, now))
        for action in actions
    ]

    def chosen(name: str | None) -> None:
        if name is not None:
            do(tool, BY_ID[name], plate)

    tool.push_screen(Chooser("Menu", choices, plate=plate), chosen)


def _label(action: Action, proposed: tuple[str, float] | None) -> str:
    """Return the label of a row; beside the proposed plate stands what is proposed."""
    return f"New plate: {proposed[0]}" if action.opens == "proposed" and proposed else action.label


def proposed_next(tool: Host) -> tuple[str, float] | None:
    """Return what a new plate is proposed, in words and in seconds; None where nothing is.

    It is the home form's answer: what the judged plates say; without any, what the last judged one like it
    does by the log, and until the log has that, by the bench.
    """
    plates = tool.session.bench.plates
    by_bench = proposal(state for plate, state in plates.items() if plate != NEW)
    if by_bench is None:
        return None
    learned = tool.services.learned_like_last()
    words = None if learned is None else brief(learned)
    if learned is not None and learned.seconds is not None and words is not None:
        return words, rounded(learned.seconds)
    advice = tool.services.advised_like_last()
    if advice is not None and advice.seconds is not None and advice.stops is not None:
        by_bench = advice.seconds, advice.stops
    return f"{show_short(by_bench[0])}, {stops_text(by_bench[1])}", by_bench[0]


def do(tool: Host, action: Action, plate: str | None) -> None:
    """Do what was chosen for a plate, by its key: open what asks for more, or carry the intent out.

    The bench may have gone on while the menu stood over it: what it refuses by now is refused before anything
    is asked.
    """
    session = tool.session
    session.tick()
    bench = with_large(session.bench, plate)
    intent = action.intent_for(bench)
    if action.opens is None:
        if intent is not None:
            tool.intend(intent, plate)
        return
    reason = action.why_not(bench, session.now())
    if reason is None:
        OPENERS[action.opens](tool, plate)
    else:
        session.refuse(reason)
        tool.to_bench()


def _rack(tool: Host) -> None:
    plates = tool.session.bench.rack
    choices = []
    for state in plates:
        name = f"plate {state.number}" + (f", {state.start.subject}" if state.start.subject else "")
        following = state.next_stage
        choices.append(Choice(f"take {state.plate}", f"{name}: {following.shown if following else 'go on'}"))
        choices.append(Choice(f"finish {state.plate}", f"{name}: finish unvarnished"))

    def chosen(answer: str | None) -> None:
        if answer is not None:
            verb, _, plate = answer.partition(" ")
            if verb == "take":
                bottle_lists.varnish(tool, plate, lambda: tool.intend(want.FromRack(plate)))
            else:
                tool.intend(want.FinishUnvarnished(plate))

    tool.push_screen(Chooser("From the rack", choices), chosen)


def _next(tool: Host, plate: str | None) -> None:
    """Ask how the plate after this one should be exposed; each row says what it would propose."""
    state = with_large(tool.session.bench, plate).shown
    if state is not None and strips_got(state):
        _best_strip(tool, plate, strips_got(state))
        return
    seconds = None if state is None else got(state)
    choices = []
    for word in WORDS:
        stops = STOPS[word]
        change = "as much light" if word == "right" else f"{word} light"
        by_time = "" if seconds is None else f"   {show_short(proposed_seconds(seconds, stops))}"
        choices.append(
            Choice(
                word, f"{word}: {change}{by_time}", f"{stops_text(stops)}; it is offered for the next plate."
            )
        )

    def chosen(answer: str | None) -> None:
        for word in WORDS:
            if answer == word:
                _judge(tool, plate, want.JudgeExposure(word))

    tool.push_screen(Chooser("The next plate should get", choices, plate=plate), chosen)


def _best_strip(tool: Host, plate: str | None, totals: Sequence[float]) -> None:
    """Ask which strip of a test plate is the best: the next plate is proposed what that strip got."""
    choices = [
        Choice(str(number), f"strip {number}: {show_short(total)}", "What it got is proposed next.")
        for number, total in enumerate(totals, 1)
    ]

    def chosen(answer: str | None) -> None:
        if answer is not None:
            _judge(tool, plate, want.JudgeExposure(strip=int(answer)))

    tool.push_screen(Chooser("Which strip is the best?", choices, plate=plate), chosen)


def _judge(tool: Host, plate: str | None, said: want.JudgeExposure) -> None:
    """Write what the plate after this one should get, and learn anew once it stands in the log."""
    state = with_large(tool.session.bench, plate).shown
    tool.intend(said, plate)
    answer = tool.session.answer
    tool.services.planner.forget()
    tool.services.advice.forget()

    def say_known() -> None:
        """Say what is proposed now, unless something else was said since."""
        learned = tool.services.learned_like_last()
        if state is None or learned is None or answer is None or not answer.good:
            return
        if tool.session.answer is not answer:
            return
        text = after_judging(learned, state.plate)
        if text is not None:
            tool.session.answers.show(text)

    def read() -> None:
        tool.services.learn_like_last(tool.from_thread, say_known)
        tool.services.advice.ask(tool.from_thread, lambda: None)

    tool.set_timer(SAVED_BY, read)


def _proposed(tool: Host) -> None:
    proposed = proposed_next(tool)
    if proposed is not None:
        tool.again(proposed[1])


def _take_off(tool: Host) -> None:
    """A plate that waits for its first strike has no journal: it goes, and nothing is recorded."""

    def chosen(answer: str | None) -> None:
        if answer == "off" and tool.waiting_for_first_strike:
            tool.take_off_new()

    choices = [Choice("", "Keep it"), Choice("off", "Take it off the bench")]
    tool.push_screen(Chooser("This plate has not begun: nothing of it is recorded.", choices), chosen)


def _abandon(tool: Host, plate: str | None) -> None:
    if plate == NEW:
        _take_off(tool)
        return
    choices = [Choice("", "Keep it"), *(Choice(reason, reason) for reason in REASONS)]

    def chosen(reason: str | None) -> None:
        if reason:
            tool.intend(want.Abandon(reason), plate)

    tool.push_screen(Chooser("Give this plate up: why?", choices, plate=plate), chosen)


def _leave_lesson_out(tool: Host) -> None:
    if tool.services.guide is not None:
        tool.services.guide.skip()
    tool.to_bench()


def _leave(tool: Host) -> None:
    title = ""
    if tool.session.needs_safelight:
        title = "The bench needs the safelight. Its clocks go on when you leave."
    if tool.waiting_for_first_strike:
        title += "\n\nA plate waits for its first press: leaving takes it off. The form keeps its words."
    if not title:
        if not tool.day_sheet(leaving=True):
            tool.leave()
        return

    def chosen(answer: str | None) -> None:
        if answer == "leave":
            tool.leave()

    choices = [Choice("", "Stay"), Choice("leave", "Leave: the terminal's own colours come back")]
    tool.push_screen(Chooser(title.strip(), choices), chosen)


OPENERS: dict[str, Callable[[Host, str | None], None]] = {
    "again": lambda tool, plate: tool.again(),
    "rack": lambda tool, plate: _rack(tool),
    "next": _next,
    "proposed": lambda tool, plate: _proposed(tool),
    "add": typed_settings.add_exposure,
    "open": typed_settings.tell_open,
    "plan": typed_settings.set_plan,
    "temperatures": lambda tool, plate: typed_settings.temperatures(tool),
    "wet": typed_settings.wet_time,
    "bottle": bottle_lists.change_bottle,
    "note": typed_settings.note,
    "abandon": _abandon,
    "dimmer": lambda tool, plate: tool.change_brightness(-1),
    "brighter": lambda tool, plate: tool.change_brightness(1),
    "blackout": lambda tool, plate: tool.black_out(),
    "keys": lambda tool, plate: tool.open_screen("keys"),
    "log": lambda tool, plate: tool.look_back(),
    "home": lambda tool, plate: tool.home(),
    "leave": lambda tool, plate: _leave(tool),
    "lesson": lambda tool, plate: _leave_lesson_out(tool),
}
"""{what an action's record opens: how the screens open it, for the plate of this key}."""
