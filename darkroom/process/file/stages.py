"""From a stage in a process file to its values, and the rules within one stage. Pure."""

from __future__ import annotations

import functools
from typing import Any

from msgspec import Struct, field

from darkroom.process.file import number_fields, text_fields
from darkroom.process.model import EARLY, ENDS, HOLDS, LIGHTS, ROLES, SOURCES, Hints, Reference, Stage, Wash
from darkroom.process.text.durations import duration, say_duration
from darkroom.process.text.numbers import plain, whole
from darkroom.process.text.tree import Keys, Node, Sheet
from darkroom.process.washing import wash_seconds

_factor = functools.partial(plain, least=1.0, most=50.0, what="a clearing factor")
_plates = functools.partial(whole, least=1, most=50, what="a number of plates")
_patience = functools.partial(duration, least=0.0)

_READERS: dict[str, Any] = {
    "name": text_fields.name,
    "light": lambda sheet, node: sheet.word(node, LIGHTS),
    "ends": lambda sheet, node: sheet.word(node, ENDS),
    "label": lambda sheet, node: text_fields.line_of_text(sheet, node, text_fields.LONGEST_NAME),
    "short": text_fields.short,
    "optional": lambda sheet, node: sheet.flag(node),
    "starts": lambda sheet, node: sheet.word(node, ("at_once", "on_strike")),
    "lead_in": lambda sheet, node: sheet.value(node, duration),
    "at": lambda sheet, node: sheet.word(node, SOURCES),
    "time": number_fields.time_law,
    "wash": number_fields.wash,
    "expect": number_fields.expect,
    "patience": lambda sheet, node: sheet.value(node, _patience),
    "limits": number_fields.limits,
    "at_least": lambda sheet, node: sheet.value(node, duration),
    "clearing_factor": lambda sheet, node: sheet.value(node, _factor),
    "holds": lambda sheet, node: text_fields.words(sheet, node, HOLDS),
    "cautions": text_fields.lines_of_text,
    "hint": text_fields.hint,
    "verb": text_fields.verb,
    "early": lambda sheet, node: sheet.word(node, EARLY),
    "repeat": number_fields.repeat,
    "holds_plates": lambda sheet, node: sheet.value(node, _plates),
    "confirm": text_fields.line_of_text,
    "rack": lambda sheet, node: sheet.flag(node),
    "uses": lambda sheet, node: sheet.word(node, ROLES),
}
STAGE_KEYS = tuple(_READERS)
_TIMED = ("on_time", "at_zero")


class Draft(Struct):
    """A stage as far as it could be read: `values` lacks what is absent, `bad` names what is wrong."""

    node: Node
    values: dict[str, Any] = field(default_factory=dict)
    bad: set[str] = field(default_factory=set)

    def get(self, key: str, default: Any = None) -> Any:
        """Return a value that was read, else `default`."""
        return self.values.get(key, default)

    def has(self, key: str) -> bool:
        """Return whether the file gives this key, rightly or wrongly."""
        return key in self.values or key in self.bad

    @property
    def name(self) -> str | None:
        """The stage's name, or None when it could not be read."""
        name = self.values.get("name")
        return name if isinstance(name, str) else None

    @property
    def holds(self) -> tuple[str, ...]:
        """What the stage holds."""
        return tuple(self.values.get("holds", ()))

    @property
    def optional(self) -> bool:
        """Whether the stage may be done without."""
        return bool(self.values.get("optional"))

    @property
    def at_least(self) -> float | None:
        """The least seconds in the stage, or None; 0 for a value that could not be read."""
        return self.values.get("at_least", 0.0 if "at_least" in self.bad else None)

    def stage(self) -> Stage:
        """Return the checked stage, defaults filled in; for a draft without problems."""
        values = dict(self.values)
        if values["ends"] == "cleared":
            values.setdefault("clearing_factor", 2.0)
        hint = values.get("hint")
        if isinstance(hint, Hints):
            values |= {"hints": hint, "hint": hint.running or hint.ready or hint.due}
        return Stage(**values)


def read_stage(sheet: Sheet, node: Node) -> Draft:
    """Return the draft of one stage and note every mistake that needs no other stage to be seen."""
    draft = Draft(node)
    for key, item in sheet.mapping(node, known=STAGE_KEYS, required=("name", "light", "ends")).items():
        noted = len(sheet.problems) + sheet.more
        value = _READERS[key](sheet, item)
        if value is None or len(sheet.problems) + sheet.more > noted:
            draft.bad.add(key)
        else:
            draft.values[key] = value
    if isinstance(node, Keys):
        _check_time(sheet, draft)
        _check_ends(sheet, draft)
        _check_hazards(sheet, draft)
    return draft


def wrong(sheet: Sheet, draft: Draft, key: str, what: str) -> None:
    """Note a problem with a key of a stage, at the key's line where the file has it."""
    path = f"{draft.node.path}.{key}" if draft.node.path else key
    sheet.note(sheet.key_line(draft.node, key), path, what)


def _check_time(sheet: Sheet, draft: Draft) -> None:
    ends = draft.get("ends")
    if ends in _TIMED and not draft.has("time") and not draft.has("wash"):
        wrong(sheet, draft, "ends", f"a stage that ends {ends} needs a 'time' or a 'wash'")
    if draft.has("time") and draft.has("wash"):
        wrong(sheet, draft, "wash", "a stage has a 'time' or a 'wash', not both")
    if ends is not None and ends not in _TIMED:
        for key in ("time", "wash"):
            if draft.has(key):
                wrong(
                    sheet, draft, key, f"a stage that ends {ends} has no '{key}'; its usual range is 'expect'"
                )
    for key in ("time", "expect"):
        if depends(draft.get(key)) and not draft.has("at"):
            wrong(sheet, draft, key, "depends on a temperature, so 'at' must say whose")
    if draft.has("limits") and not draft.has("at"):
        wrong(sheet, draft, "limits", "limits of a temperature, so 'at' must say whose")
    least, own = draft.get("at_least"), _shortest(draft)
    if least is not None and own is not None and least > own:
        what = f"longer than the time of the stage, {say_duration(own)} at its shortest"
        wrong(sheet, draft, "at_least", what)


def _shortest(draft: Draft) -> float | None:
    """Return the shortest time in seconds that the file itself gives for a stage, or None without one."""
    law, washed = draft.get("time"), draft.get("wash")
    if isinstance(washed, Wash):
        return wash_seconds(washed)
    if isinstance(law, Reference):
        return law.is_
    if isinstance(law, tuple):
        return float(min(seconds for _, seconds in law))
    return law if isinstance(law, float) else None


def depends(law: Any) -> bool:
    """Return whether a time or a usual range changes with the temperature."""
    if isinstance(law, Reference):
        return True
    return isinstance(law, tuple) and bool(law) and isinstance(law[0], tuple)


def _check_ends(sheet: Sheet, draft: Draft) -> None:
    ends = draft.get("ends")
    if ends is None:
        return
    if draft.has("patience") and ends not in ("on_time", "cleared"):
        wrong(sheet, draft, "patience", f"a stage that ends {ends} has no overrun to be patient with")
    if draft.has("early") and ends != "on_time":
        wrong(sheet, draft, "early", f"a stage that ends {ends} is never asked before its time")
    verb = draft.get("verb")
    if verb is not None and verb.lead_in is not None and not draft.has("lead_in"):
        wrong(sheet, draft, "verb", "a stage without a lead-in has no verb at its end")
    if draft.has("clearing_factor") and ends != "cleared":
        wrong(sheet, draft, "clearing_factor", "only a stage that ends cleared has a clearing factor")
    if draft.has("at_least") and ends == "exposure":
        wrong(sheet, draft, "at_least", "an exposure can always be ended: the cap must go on when you say so")
    if draft.has("uses") and ends == "exposure":
        wrong(sheet, draft, "uses", "an exposure uses no bottle")
    if draft.get("starts") == "at_once" and (draft.has("lead_in") or ends == "exposure"):
        wrong(sheet, draft, "starts", "a stage with a lead-in, and an exposure, wait for a press")


def _check_hazards(sheet: Sheet, draft: Draft) -> None:
    holds = draft.holds
    if "cyanide" in holds and "acid" in holds:
        wrong(sheet, draft, "holds", "acid and cyanide in one stage set free prussic acid gas")
    if "ether" in holds and "flame" in holds:
        wrong(sheet, draft, "holds", "ether and a flame in one stage: its vapour creeps to the flame")
    if "cyanide" in holds and draft.get("ends") == "cleared" and not draft.has("clearing_factor"):
        wrong(
            sheet,
            draft,
            "ends",
            "a cyanide stage must name its clearing_factor: twice the time is a rule for hypo",
        )
