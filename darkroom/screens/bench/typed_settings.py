"""What is typed or chosen from the bench's menu: exposure, readings, wet time, a note.

`plate` is the key of the plate for which the menu was opened; None on an empty bench.
"""

from __future__ import annotations

from darkroom.bench import intents as want
from darkroom.bench.all_plates import STALE, with_large
from darkroom.bench.exposure import plan_text
from darkroom.process.model import SOURCES
from darkroom.process.text.humidity import HUMIDITY_WORDS, humidity_text
from darkroom.screens.host import Host
from darkroom.screens.widgets.chooser import Choice, Chooser
from darkroom.screens.widgets.prompt import Prompt
from darkroom.session import plate_form as forms


def add_exposure(tool: Host, plate: str | None) -> None:
    """Ask how long the lens is to be opened again."""

    def submitted(text: str | None) -> None:
        if text is not None:
            plan = forms.exposure_plan(text)
            tool.intend(want.AddExposure(plan.seconds if plan else None), plate)

    tool.push_screen(
        Prompt(
            "Add to the exposure: how long?",
            "",
            "Seconds. Left empty, it counts up until a press.",
            forms.exposure_plan,
            plate=plate,
        ),
        submitted,
    )


def tell_open(tool: Host, plate: str | None) -> None:
    """Ask how long the lens was open where nobody saw it capped."""

    def submitted(text: str | None) -> None:
        if text:
            tool.intend(want.TellOpen(forms.seconds(text)), plate)

    tool.push_screen(
        Prompt(
            "How long was the lens open?", "", "12 s, or 1:30. As near as you know it.", forms.seconds, plate
        ),
        submitted,
    )


def set_plan(tool: Host, plate: str | None) -> None:
    """Ask for the exposure plan."""
    state = with_large(tool.session.bench, plate).shown
    current_plan = plan_text(state.plan) if state is not None else None

    def submitted(text: str | None) -> None:
        if text is not None:
            tool.intend(want.SetPlan(forms.exposure_plan(text)), plate)

    hint = "8 s · steps 2,2,4 · 2,2,4 press · 2,2,4 pause 3 s · 4 flashes 20 s · empty: counts up"
    tool.push_screen(
        Prompt(f"Exposure (now {current_plan or 'until a press'})", "", hint, forms.exposure_plan, plate),
        submitted,
    )


def _plate_reading(tool: Host, source: str) -> str:
    """Return what the large plate reckons with while nothing was read since the tool was started."""
    state = tool.session.bench.shown
    trace = state.temperatures.get(source) if state is not None else None
    return "not read" if not trace else f"{trace[-1][1]:.1f} °C, {trace[-1][2]}"


def temperatures(tool: Host) -> None:
    """Offer the liquids and the humidity, and ask for a reading of the one chosen."""
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


def wet_time(tool: Host, plate: str | None) -> None:
    """Ask how long the plate stays wet."""
    from darkroom.process.text.durations import duration

    def submitted(text: str | None) -> None:
        if text is not None:
            tool.intend(want.SetWetTime(duration(text) if text else None), plate)

    tool.push_screen(
        Prompt(
            "How long does it stay wet?",
            "",
            "12 min or 8:30. Left empty, it is estimated again.",
            duration,
            plate,
        ),
        submitted,
    )


def note(tool: Host, plate: str | None) -> None:
    """Ask for a few words on the plate."""

    def submitted(text: str | None) -> None:
        if text:
            tool.intend(want.Say(text), plate)

    tool.push_screen(Prompt("Note on this plate", plate=plate), submitted)
