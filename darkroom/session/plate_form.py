"""What is typed with dry hands before a plate: from texts to a plate that waits for its first strike.

Everything but the process is optional; what was typed last is remembered in bench.json.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

import msgspec

from darkroom import __version__
from darkroom.bench import events as ev
from darkroom.bench.all_plates import STALE
from darkroom.bench.bottles_at_hand import roles_before_rack
from darkroom.errors import QuantityError
from darkroom.process.file import plain_form
from darkroom.process.model import SOURCES, ExposurePlan, Process
from darkroom.process.scene import ProposedExposure, Scene
from darkroom.process.text import durations, humidity, light_words, measures, temperatures
from darkroom.process.text.numbers import quoted


class PlateForm(msgspec.Struct, kw_only=True):
    """The fields of the home screen as they were typed; empty text is "not said"."""

    process: str = ""
    subject: str = ""
    who: str = ""
    size: str = ""
    lens: str = ""
    aperture: str = ""
    draw: str = ""
    filter: str = ""
    other: str = ""
    light: str = ""
    ev: str = ""
    place: str = ""
    receiver: str = ""
    sky: str = ""
    collodion: str = ""
    camera: str = ""
    holder: str = ""
    exposure: str = ""
    timed: str = "here"
    carry: str = ""
    wet: str = ""
    humidity: str = ""
    temperatures: dict[str, str] = {}
    prepare: bool = False
    damp_pad: bool = False
    bottles: dict[str, str] = {}
    bottle_ids: dict[str, str] = {}
    """{role: name} and {role: id} of the bottles of the book that were chosen, kept until others are."""
    no_bottles: list[str] = []
    """The roles for which the hand chose none."""
    read_at: dict[str, float] = {}
    """{source or "humidity": wall time in seconds at which its value was typed}."""

    def note_typed(self, wall: float) -> None:
        """Note `wall` as the time of every typed reading that has none, and forget those of empty fields."""
        self.read_at = {source: self.read_at.get(source, wall) for source in readings(self)}

    def take_reading(self, source: str, text: str, wall: float) -> str:
        """Take a reading of `source` that was typed elsewhere at `wall`; return the id of its field."""
        self.read_at = {**self.read_at, source: wall}
        if source == "humidity":
            self.humidity = text
            return source
        self.temperatures = {**self.temperatures, source: text}
        return f"temperature {source}"

    def stale(self, wall: float) -> dict[str, str]:
        """Return {source or "humidity": text} of the readings typed two hours or longer before `wall`.

        They are offered to a new plate, not taken.
        """
        return {
            source: text
            for source, text in readings(self).items()
            if wall - self.read_at.get(source, wall) >= STALE
        }


msgspec.json.Decoder(PlateForm)  # known to msgspec from here on: two threads must not be the first to use it


def readings(form: PlateForm) -> dict[str, str]:
    """Return {source or "humidity": text} of the readings that stand in the form."""
    texts = {**form.temperatures, "humidity": form.humidity}
    return {source: text for source, text in texts.items() if text.strip()}


_BETWEEN = {"press": "strike", "strike": "strike", "run on": "run_on", "run_on": "run_on"}
"""What may be typed after steps, and how the plan has it: each step waits for a press, or they run on."""


def exposure_plan(text: str) -> ExposurePlan | None:
    """Return the plan for "8s", "2,2,4", "2s+2s+4s press", "2,2,4 pause 3s" or "4 flashes 20s".

    Raises QuantityError telling what was expected.
    """
    text = text.strip()
    if not text or text in ("-", "none", "count up"):
        return None
    tokens = text.replace("+", ",").split()
    if len(tokens) >= 2 and tokens[1].startswith(("flash", "pop")):
        return _flashes(tokens)
    between: str | float | None = None
    body = text.replace("+", ",")
    lowered = body.lower()
    for ending, means in _BETWEEN.items():
        if lowered.endswith(ending):
            between, body = means, body[: -len(ending)]
            break
    if " pause " in lowered:
        pause_at = lowered.index(" pause ")
        between, body = durations.duration(body[pause_at + 7 :].strip()), body[:pause_at]
    steps = [_step(step_text) for step_text in body.strip(" ,").split(",")]
    if len(steps) == 1 and between is None:
        return ExposurePlan(seconds=steps[0])
    return ExposurePlan(steps=tuple(steps), between=between or "run_on")  # type: ignore[arg-type]


def _step(text: str) -> float:
    """Return the seconds of one step. Raises QuantityError; for several times it shows them with commas."""
    try:
        return seconds(text)
    except QuantityError:
        times = text.split()
        if len(times) < 2 or not all(map(_is_time, times)):
            raise
    with_commas = ", ".join(times)
    raise QuantityError(f"{quoted(text)}: write times one after another with commas: {with_commas}") from None


def _is_time(text: str) -> bool:
    try:
        seconds(text)
    except QuantityError:
        return False
    return True


def _flashes(tokens: list[str]) -> ExposurePlan:
    try:
        pops = int(tokens[0])
    except ValueError:
        raise QuantityError(f"'{tokens[0]}' is no number of flashes: write it as '4 flashes 20 s'") from None
    if not 1 <= pops <= 100:
        raise QuantityError("between 1 and 100 flashes")
    recycle_text = " ".join(tokens[2:]).strip()
    return ExposurePlan(pops=pops, recycle=durations.duration(recycle_text) if recycle_text else 10.0)


def seconds(text: str) -> float:
    """Return seconds for "12", "12 s" or "1:30": a bare number is seconds, as on a dial.

    Raises QuantityError.
    """
    text = text.strip()
    try:
        return durations.duration(f"{float(text):g} s")
    except (ValueError, OverflowError):
        return durations.duration(text)


def millimetres(text: str) -> float:
    """Return mm for "450", "45 cm" or "18 in": a bare number is mm. Raises QuantityError."""
    text = text.strip()
    try:
        return measures.length(f"{float(text):g} mm")
    except (ValueError, OverflowError):
        return measures.length(text)


def celsius(text: str) -> float:
    """Return °C for "20 C", "68 °F" or a bare number, which on the form means °C."""
    text = text.strip()
    try:
        return temperatures.temperature(f"{float(text):g} °C")
    except (ValueError, OverflowError):
        return temperatures.temperature(text)


def percent(text: str) -> float:
    """Return the relative humidity in per cent for "55", "55 %" or a word such as "dry"."""
    return humidity.humidity(text)


_READERS: dict[str, Callable[[str], object]] = {
    "exposure": exposure_plan,
    "draw": millimetres,
    "filter": light_words.stops_lost,
    "other": light_words.stops_lost,
    "ev": light_words.reading,
    "carry": seconds,
    "wet": durations.duration,
    "humidity": percent,
}


def reader(field: str) -> Callable[[str], object] | None:
    """Return what reads a field's text, raising QuantityError; None for a field of free words.

    A temperature's field is "temperature " and its source.
    """
    return celsius if field.startswith("temperature ") else _READERS.get(field)


def check(form: PlateForm) -> dict[str, str]:
    """Return {field: what is wrong} for every field that cannot be read."""
    texts = {field: getattr(form, field) for field in _READERS}
    texts |= {f"temperature {source}": text for source, text in form.temperatures.items()}
    problems: dict[str, str] = {}
    for field, text in texts.items():
        read_field = reader(field)
        if read_field is not None and text.strip():
            try:
                read_field(text)
            except QuantityError as error:
                problems[field] = str(error)
    return problems


def chosen_bottles(form: PlateForm, process: Process) -> tuple[dict[str, str], dict[str, str]]:
    """Return ({role: name}, {role: id}) of the bottles that a plate of this process takes from the form.

    A collodion that was typed has a name alone. What is used behind the rack is chosen there.
    """
    roles = [role for role in roles_before_rack(process) if role in form.bottle_ids]
    if form.bottles.get("collodion") != form.collodion and "collodion" in roles:
        roles.remove("collodion")
    names = {role: form.bottles[role] for role in roles if role in form.bottles}
    if form.collodion:
        names["collodion"] = form.collodion
    return names, {role: form.bottle_ids[role] for role in roles}


def plate_from(
    form: PlateForm,
    process: Process,
    *,
    number: int,
    bench: str,
    boot: str,
    at: str,
    up: float,
    rehearsal: bool = False,
    speed: float | None = None,
    scene: Scene | None = None,
    proposed: ProposedExposure | None = None,
) -> ev.PlateStarted:
    """Return the first line of a plate, complete but for what its first strike brings.

    `scene` is what the form's texts mean with the photographer's own kit, `proposed` what was proposed.
    Readings typed two hours or longer before `at` are left out. Raises QuantityError for a field as `check`.
    """
    stale = form.stale(datetime.fromisoformat(at).timestamp())
    bottles, bottle_ids = chosen_bottles(form, process)
    fresh = {source: text for source, text in readings(form).items() if source not in stale}
    air = fresh.get("humidity", "")
    temperatures_by_hand = {
        source: (celsius(text), "hand") for source, text in fresh.items() if source in SOURCES
    }
    return ev.PlateStarted(
        n=1,
        at=at,
        up=up,
        plate="",
        number=number,
        schema=ev.SCHEMA,
        version=__version__,
        bench=bench,
        boot=boot,
        process=plain_form.to_plain(process),
        temperatures=temperatures_by_hand,
        humidity=(percent(air), humidity.hand_origin(air)) if air else None,
        plan=exposure_plan(form.exposure),
        timed="away" if form.timed == "away" else "here",
        size=form.size or None,
        who=form.who or None,
        subject=form.subject or None,
        lens=form.lens or None,
        aperture=form.aperture or None,
        light=form.light or None,
        bottles=bottles or None,
        bottle_ids=bottle_ids or None,
        camera=form.camera or None,
        holder=form.holder or None,
        scene=scene,
        proposed=proposed,
        wet_time=durations.duration(form.wet) if form.wet.strip() else None,
        carry=seconds(form.carry) if form.carry.strip() else None,
        prepare=form.prepare or None,
        damp_pad=form.damp_pad or None,
        rehearsal=rehearsal,
        speed=speed,
    )
