"""The menu of the bench: everything that is not a strike. The clocks go on behind it."""

from __future__ import annotations

from collections.abc import Callable

from darkroom.bench import intents as want
from darkroom.bench.all_plates import NEW, STALE, Bench
from darkroom.bench.exposure import plan_text
from darkroom.bench.next_plate import (
    STOPS,
    WORDS,
    got,
    proposal,
    proposal_text,
    proposed_seconds,
    stops_text,
)
from darkroom.process.model import SOURCES
from darkroom.process.text.durations import show_short
from darkroom.process.text.humidity import HUMIDITY_WORDS, humidity_text
from darkroom.screens.host import Host
from darkroom.screens.widgets.chooser import Choice, Chooser
from darkroom.screens.widgets.prompt import Prompt
from darkroom.session import plate_form as forms
from darkroom.session.actions import BY_ID, LEAVE_OUT, MENU, REASONS, Action


def open_menu(tool: Host) -> None:
    """Show the menu; what is chosen happens to the large plate."""
    bench, now = tool.session.bench, tool.session.now()
    is_guided = tool.lessons is not None and not tool.lessons.done
    actions = (*MENU, LEAVE_OUT) if is_guided else MENU
    choices = [
        Choice(action.id, _label(action, bench), action.help, action.why_not(bench, now))
        for action in actions
    ]

    def chosen(name: str | None) -> None:
        if name is not None:
            do(tool, BY_ID[name])

    tool.push_screen(Chooser("Menu", choices), chosen)


def _label(action: Action, bench: Bench) -> str:
    """Return the label of a row; beside the proposed plate stands what is proposed."""
    if action.opens != "proposed":
        return action.label
    proposed = proposal_text(state for plate, state in bench.plates.items() if plate != NEW)
    return f"{action.label}   {proposed}" if proposed else action.label


def do(tool: Host, action: Action) -> None:
    """Do what was chosen: open what asks for more, or carry the intent out.

    The bench may have gone on while the menu stood over it: what it refuses by now is refused before anything
    is asked.
    """
    session = tool.session
    session.tick()
    intent = action.intent_for(session.bench)
    if action.opens is None:
        if intent is not None:
            tool.intend(intent)
        return
    reason = action.why_not(session.bench, session.now())
    if reason is None:
        OPENERS[action.opens](tool)
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
            tool.intend(want.FromRack(plate) if verb == "take" else want.FinishUnvarnished(plate))

    tool.push_screen(Chooser("From the rack", choices), chosen)


def _next(tool: Host) -> None:
    """Ask how the plate after the large one should be exposed; each row says what it would propose."""
    state = tool.session.bench.shown
    seconds = None if state is None else got(state)
    choices = []
    for word in WORDS:
        stops = STOPS[word]
        change = "as much light" if word == "right" else f"{word} light"
        by_time = "" if seconds is None else f"   {show_short(proposed_seconds(seconds, stops))}"
        choices.append(
            Choice(word, f"{word}: {change}{by_time}", f"{stops_text(stops)}; offered, not taken.")
        )

    def chosen(answer: str | None) -> None:
        for word in WORDS:
            if answer == word:
                tool.intend(want.JudgeExposure(word))

    tool.push_screen(Chooser("The next plate should get", choices), chosen)


def _proposed(tool: Host) -> None:
    bench = tool.session.bench
    proposed = proposal(state for plate, state in bench.plates.items() if plate != NEW)
    if proposed is not None:
        tool.again(proposed[0])


def _add(tool: Host) -> None:
    def submitted(text: str | None) -> None:
        if text is not None:
            plan = forms.exposure_plan(text)
            tool.intend(want.AddExposure(plan.seconds if plan else None))

    tool.push_screen(
        Prompt(
            "Add to the exposure: how long?",
            "",
            "Seconds. Left empty, it counts up until a strike.",
            forms.exposure_plan,
        ),
        submitted,
    )


def _open(tool: Host) -> None:
    def submitted(text: str | None) -> None:
        if text:
            tool.intend(want.TellOpen(forms.seconds(text)))

    tool.push_screen(
        Prompt("How long was the lens open?", "", "12 s, or 1:30. As near as you know it.", forms.seconds),
        submitted,
    )


def _plan(tool: Host) -> None:
    state = tool.session.bench.shown
    current_plan = plan_text(state.plan) if state is not None else None

    def submitted(text: str | None) -> None:
        if text is not None:
            tool.intend(want.SetPlan(forms.exposure_plan(text)))

    hint = "8 s · steps 2,2,4 · 2,2,4 strike · 2,2,4 pause 3 s · 4 flashes 20 s · empty: counts up"
    tool.push_screen(
        Prompt(f"Exposure (now {current_plan or 'until a strike'})", "", hint, forms.exposure_plan), submitted
    )


def _plate_reading(tool: Host, source: str) -> str:
    """Return what the large plate reckons with while nothing was read since the tool was started."""
    state = tool.session.bench.shown
    trace = state.temperatures.get(source) if state is not None else None
    return "not read" if not trace else f"{trace[-1][1]:.1f} °C, {trace[-1][2]}"


def _temperatures(tool: Host) -> None:
    bench, now = tool.session.bench, tool.session.now()
    choices = []
    for source in SOURCES:
        known = bench.temperatures.get(source)
        value_text = (
            _plate_reading(tool, source) if known is None else f"{known.value:.1f} °C, {known.origin}"
        )
        if known is not None and now - known.up >= STALE:
            value_text += ", more than 2 h ago"
        choices.append(Choice(source, f"{source}: {value_text}"))
    value_text = (
        "not read" if bench.humidity is None else f"{bench.humidity.value:.0f} %, {bench.humidity.origin}"
    )
    choices.append(Choice("humidity", f"humidity: {value_text}"))

    def chosen(source: str | None) -> None:
        if source == "humidity":
            _humidity(tool)
        elif source is not None:
            _temperature(tool, source)

    tool.push_screen(Chooser("Temperatures and humidity", choices), chosen)


def _temperature(tool: Host, source: str) -> None:
    def submitted(text: str | None) -> None:
        if text is not None:
            value = forms.celsius(text) if text else None
            tool.take_typed_reading(source, value)
            told = "the typed value is taken back" if value is None else f"{value:.1f} °C"
            tool.session.answers.say(f"{source} {told}")

    hint = "What the thermometer says: 18, or 66 F. Left empty, a typed value is taken back."
    tool.push_screen(Prompt(f"{source.capitalize()} temperature, in °C", "", hint, forms.celsius), submitted)


def _humidity(tool: Host) -> None:
    """Ask for a word or a number: without a hygrometer the air is damp, ordinary, dry or very dry."""

    def take(text: str | None) -> None:
        if text is not None:
            value = forms.percent(text) if text else None
            tool.take_typed_reading("humidity", value)
            told = "the typed value is taken back" if value is None else f"{value:.0f} %"
            tool.session.answers.say(f"humidity {told}")

    def chosen(answer: str | None) -> None:
        if answer == "number":
            hint = "Per cent, from 0 to 100. Left empty, a typed value is taken back."
            tool.push_screen(Prompt("Humidity of the room, in %", "", hint, forms.percent), take)
        else:
            take(answer)

    choices = [Choice(word, humidity_text(word)) for word in HUMIDITY_WORDS]
    choices.append(Choice("number", "A hygrometer says…", "Then the number is typed."))
    tool.push_screen(Chooser("How dry is the air?", choices), chosen)


def _wet(tool: Host) -> None:
    from darkroom.process.text.durations import duration

    def submitted(text: str | None) -> None:
        if text is not None:
            tool.intend(want.SetWetTime(duration(text) if text else None))

    tool.push_screen(
        Prompt(
            "How long does it stay wet?", "", "12 min or 8:30. Left empty, it is estimated again.", duration
        ),
        submitted,
    )


def _note(tool: Host) -> None:
    def submitted(text: str | None) -> None:
        if text:
            tool.intend(want.Say(text))

    tool.push_screen(Prompt("Note on this plate"), submitted)


def _take_off(tool: Host) -> None:
    """A plate that waits for its first strike has no journal: it goes, and nothing is recorded."""

    def chosen(answer: str | None) -> None:
        if answer == "off" and tool.waiting_for_first_strike:
            tool.take_off_new()

    choices = [Choice("", "Keep it"), Choice("off", "Take it off the bench")]
    tool.push_screen(Chooser("This plate has not begun: nothing of it is recorded.", choices), chosen)


def _abandon(tool: Host) -> None:
    if tool.session.bench.large == NEW:
        _take_off(tool)
        return
    choices = [Choice("", "Keep it"), *(Choice(reason, reason) for reason in REASONS)]

    def chosen(reason: str | None) -> None:
        if reason:
            tool.intend(want.Abandon(reason))

    tool.push_screen(Chooser("Give this plate up: why?", choices), chosen)


def _leave_lesson_out(tool: Host) -> None:
    if tool.services.guide is not None:
        tool.services.guide.skip()
    tool.to_bench()


def _leave(tool: Host) -> None:
    title = ""
    if tool.session.needs_safelight:
        title = "The bench needs the safelight. Its clocks go on when you leave."
    if tool.waiting_for_first_strike:
        title += "\n\nA plate waits for its first strike: leaving takes it off. The form keeps its words."
    if not title:
        if not tool.day_sheet(leaving=True):
            tool.leave()
        return

    def chosen(answer: str | None) -> None:
        if answer == "leave":
            tool.leave()

    choices = [Choice("", "Stay"), Choice("leave", "Leave: the terminal's own colours come back")]
    tool.push_screen(Chooser(title.strip(), choices), chosen)


OPENERS: dict[str, Callable[[Host], None]] = {
    "again": lambda tool: tool.again(),
    "rack": _rack,
    "next": _next,
    "proposed": _proposed,
    "add": _add,
    "open": _open,
    "plan": _plan,
    "temperatures": _temperatures,
    "wet": _wet,
    "note": _note,
    "abandon": _abandon,
    "dimmer": lambda tool: tool.change_brightness(-1),
    "brighter": lambda tool: tool.change_brightness(1),
    "blackout": lambda tool: tool.black_out(),
    "keys": lambda tool: tool.open_screen("keys"),
    "log": lambda tool: tool.look_back(),
    "home": lambda tool: tool.home(),
    "leave": _leave,
    "lesson": _leave_lesson_out,
}
"""{what an action's record opens: how the screens open it}."""
