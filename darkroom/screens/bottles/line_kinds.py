"""What can be entered for a bottle with dry hands: the list of it, and the line that a filled form makes.

Nothing here writes; times are those of `now`, which the caller has from the clock.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any, NamedTuple

from darkroom.errors import QuantityError
from darkroom.process.text import measures
from darkroom.process.text.numbers import plain as number
from darkroom.process.text.past_times import past, until
from darkroom.process.text.plain_text import plain
from darkroom.process.text.temperatures import temperature
from darkroom.screens.bottles.asking import Known
from darkroom.screens.bottles.short_words import moment_text
from darkroom.screens.widgets.rows import clip
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import Bottle
from darkroom.solutions.bottle_strength import reads_low
from darkroom.solutions.bottle_words import line_words
from darkroom.solutions.density import SOLUTES
from darkroom.solutions.events import BottleEntry
from darkroom.solutions.hydrometer import SCALES
from darkroom.solutions.measuring import LARGEST, measurement
from darkroom.solutions.topping_up import plan


class Line(NamedTuple):
    """A line to be written: its kind, its members, and what is said of it beside what it is."""

    kind: Any
    members: dict[str, Any]
    remark: str = ""

    def event(self, n: int, at: str) -> Any:
        """Return the line with its number, written at an instant (RFC 3339)."""
        return self.kind(n=n, at=at, up=None, **self.members)


class Entered(NamedTuple):
    """A kind of line: the row of the list, and what it may be said with."""

    id: str
    label: str
    help: str
    kind: Any
    reason: bool = False


KINDS: tuple[Entered, ...] = (
    Entered("opened", "Opened", "It is in use from here on.", ev.Opened),
    Entered("filtered", "Filtered", "Its plates are counted anew from here.", ev.Treated),
    Entered("sunned", "Sunned", "It stood in the sun; filter it afterwards.", ev.Treated),
    Entered("iodised", "Iodised", "A new bath stood with a coated plate in it.", ev.Treated),
    Entered("reading", "Hydrometer reading", "With its temperature it says the strength.", ev.Measured, True),
    Entered("measured", "pH or assay", "What paper, meter or a weighed sample says.", ev.Measured, True),
    Entered("volume", "Volume", "How much the bottle holds now.", ev.Measured, True),
    Entered("top up", "Top up", "Says what to add for a strength, then notes it.", ev.ToppedUp),
    Entered("topped up", "Added already", "Notes crystals or water that went in.", ev.ToppedUp),
    Entered("drawn off", "Drawn off", "Some of it was taken out.", ev.DrawnOff),
    Entered("recipe", "Name its recipe", "Its care is that of the recipe from here on.", ev.RecipeNamed),
    Entered("note", "Note", "Words about the bottle.", ev.Note),
    Entered("postponed", "Put a care off", "It is not due before a day that you name.", ev.Postponed, True),
    Entered("boiled_down", "Boiled down", "Alcohol and ether are driven off.", ev.Treated),
    Entered("acid", "Acid added", "Only where a test asked for it, a drop at a time.", ev.Treated),
    Entered("alkali", "Alkali added", "Only where a test asked for it, a drop at a time.", ev.Treated),
    Entered("set aside", "Set aside", "Out of use for now; nothing is due for it.", ev.SetAside, True),
    Entered("taken up", "Taken up again", "In use again.", ev.TakenUp),
    Entered("discarded", "Discarded", "The content is gone; it stays in the book.", ev.Discarded, True),
    Entered("withdrawn", "Withdraw a line", "It stays in the book, and does not count.", ev.Withdrawn, True),
)
LABEL_CELLS = 72
"""The words of a line take no more cells in a list."""
NEW = "new"
"""The kind of the line that begins a bottle."""
TREATMENTS = tuple(one.id for one in KINDS if one.kind is ev.Treated)


def entered(kind: str) -> Entered:
    """Return the kind of this id."""
    return next(one for one in KINDS if one.id == kind)


def choices(bottle: Bottle, known: Known, now: float) -> list[tuple[str, str, str, str | None]]:
    """Return (id, label, help, why not now) of each kind, in the order in which they are offered."""
    return [(one.id, one.label, one.help, _why_not(one.id, bottle, known, now)) for one in KINDS]


def _why_not(kind: str, bottle: Bottle, known: Known, now: float) -> str | None:
    state = bottle.state(now)
    match kind:
        case "top up" if known.substance_of(bottle) not in SOLUTES:
            return "its strength is not reckoned"
        case "top up" if not known.whole:
            return "its plates are being read"
        case "opened" if bottle.opened is not None:
            return "it was opened"
        case "iodised" | "sunned" | "boiled_down" if bottle.what != "bath":
            return "this is no silver bath"
        case "recipe" if len(recipes_for(bottle.what, known)) < 2:
            return f"no recipe makes {bottle.what}"
        case "postponed" if not known.dues_of(bottle.id):
            return "no care of it is known"
        case "set aside" if bottle.out_of_use is not None:
            return f"it is {state}"
        case "taken up" if bottle.out_of_use is None:
            return f"it is {state}"
        case "discarded" if bottle.out_of_use == "discarded":
            return "it is discarded"
        case "withdrawn" if not withdrawable(bottle):
            return "only its first line is left"
    return None


def withdrawable(bottle: Bottle) -> list[BottleEntry]:
    """Return the lines that count and can be taken back, what was written last first; not the making.

    Without its making a bottle is out of the book, and no page would give it back.
    """
    lines = [entry for entry in bottle.entries if not isinstance(entry.event, ev.Made)]
    return sorted(lines, key=lambda entry: (entry.event.at, entry.event.n), reverse=True)


def lines_of(bottle: Bottle) -> dict[str, Any]:
    """Return {place: what happened} of all lines of a bottle, those that do not count too."""
    return {entry.place: entry.event for entry in (*bottle.entries, *bottle.withdrawn)}


def line_choices(bottle: Bottle, known: Known) -> list[tuple[str, str, str]]:
    """Return (place, label, help) of each line that can be taken back."""
    lines, names, rows = lines_of(bottle), known.names(), []
    for entry in withdrawable(bottle):
        words = plain(line_words(entry.event, lines, names))
        rows.append((entry.place, clip(f"{moment_text(entry.happened)}  {words}", LABEL_CELLS), words))
    return rows


def recipes_for(what: str, known: Known) -> tuple[str, ...]:
    """Return the names of the recipes that make what is in a bottle, after "" for none."""
    return ("", *sorted(name for name, recipe in known.recipes.items() if recipe.makes == what))


def last_scale(bottle: Bottle, known: Known) -> str:
    """Return the scale (`what` of a line) that was used last, for this bottle, else for any of the book."""
    for bottles in ([bottle], known.bottles.values()):
        read = [
            (entry.instant, entry.event.what)
            for one in bottles
            for entry in one.entries
            if isinstance(entry.event, ev.Measured) and entry.event.what.replace("_", "-") in SCALES
        ]
        if read:
            return max(read)[1]
    return "density"


def title(kind: str, bottle: Bottle | None) -> str:
    """Return what stands above the form."""
    return "NEW BOTTLE" if bottle is None else f"{plain(bottle.name)}: {entered(kind).label.lower()}"


# --- the line -----------------------------------------------------------------------------------------


def missing(kind: str, values: Mapping[str, str]) -> dict[str, str]:
    """Return {field: what is wrong} for fields that a line of this kind cannot be without."""
    needed = {NEW: "name", "reading": "value", "measured": "value", "volume": "value", "note": "text",
              "recipe": "recipe", "postponed": "until"}.get(kind)  # fmt: skip
    if kind == "topped up" and not any(values.get(name, "").strip() for name in TOPPED_UP):
        return {"grams": "this is needed, or how much water"}
    if needed is None or values.get(needed, "").strip():
        return {}
    return {needed: "this is needed"}


def line(kind: str, values: Mapping[str, str], bottle: Bottle, known: Known, now: datetime) -> Line:
    """Return the line that a filled form makes for a bottle. Raises QuantityError, BeyondTable."""
    texts = {name: value.strip() for name, value in values.items() if value.strip()}
    members: dict[str, Any] = {}
    remark = ""
    match kind:
        case "reading" | "measured":
            celsius = celsius_of(texts["celsius"]) if "celsius" in texts else None
            value, substance = reading(texts["value"]), known.substance_of(bottle)
            members = dict(measurement(texts["scale"], value, celsius, substance).members)
            read_at = past(texts["when"], now) if "when" in texts else now
            if kind == "reading" and reads_low(bottle, read_at.timestamp(), known.uses_of(bottle.id)):
                remark = "at least that: a used bath reads low"
        case "volume":
            members = dict(measurement("volume", measures.volume(texts["value"])).members)
        case "topped up":
            members = _added(texts, bottle, known, now)
        case "drawn off":
            members = {"volume": measures.volume(texts["value"])} if "value" in texts else {}
            members |= {"to": texts["to"]} if "to" in texts else {}
        case "recipe":
            members = {"recipe": texts["recipe"]}
        case "note":
            members = {"text": texts["text"]}
        case "postponed":
            members = {"care": texts["care"], "until": _stamp(until(texts["until"], now))}
        case "withdrawn":
            members = {"corrects": texts["line"]}
        case _ if kind in TREATMENTS:
            members = {"how": kind} | ({"amount": texts["amount"]} if "amount" in texts else {})
    if "reason" in texts and entered(kind).reason:
        members["reason"] = texts["reason"]
    return Line(entered(kind).kind, members | when_of(texts, now, bottle), remark)


def _added(texts: Mapping[str, str], bottle: Bottle, known: Known, now: datetime) -> dict[str, Any]:
    """Return the members of a topping up that was done; what is not said is reckoned where it can be."""
    said = {name: read(texts[name]) for name, read in TOPPED_UP.items() if name in texts}
    if not ("grams" in said or "water" in said) or not known.whole:
        return said
    recipe = known.recipe_of(bottle)
    planned = plan(
        bottle,
        known.uses_of(bottle.id),
        None if recipe is None else recipe.of,
        now.timestamp(),
        wanted=None,
        reading=None,
        volume=None,
        fill=None,
        stock=None,
        source=None,
        crystals=said.get("grams"),
        water=said.get("water"),
    )
    if "volume" in said or "strength" in said:  # what was said and what was reckoned may not agree
        return said
    return {name: value for name, value in planned.members.items() if value is not None}


def when_of(texts: Mapping[str, str], now: datetime, bottle: Bottle | None = None) -> dict[str, str]:
    """Return the member `when` of a line where one was typed. Raises QuantityError."""
    if "when" not in texts:
        return {}
    when = past(texts["when"], now)
    if bottle is not None and when.timestamp() < bottle.made - 60:
        raise QuantityError("that is before the bottle was made")
    return {"when": _stamp(when)}


def reading(text: str) -> float:
    """Return the number that an instrument shows. Raises QuantityError."""
    return number(text.replace("°", "").strip(), least=-1.0, most=LARGEST, what="a reading")


def celsius_of(text: str) -> float:
    """Return the °C of a temperature; a bare number is in °C. Raises QuantityError."""
    bare = text.strip().replace(".", "", 1).replace(",", "", 1)
    return temperature(f"{text} °C" if bare.isascii() and bare.isdigit() else text)


TOPPED_UP: dict[str, Callable[[str], float]] = {
    "grams": measures.mass,
    "water": measures.volume,
    "volume": measures.volume,
    "strength": measures.typed_percent,
}
"""{member of a topping up: what reads it}."""


def _stamp(time: datetime) -> str:
    return time.isoformat(timespec="milliseconds")


def words_of(line: Line, known: Known, bottle: Bottle | None = None) -> str:
    """Return what a line of a bottle says, a new one where it is None, for the message that it is saved."""
    return plain(line_words(line.event(1, ""), {} if bottle is None else lines_of(bottle), known.names()))
