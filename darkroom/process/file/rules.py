"""The rules between the stages of a process: order, light, wet window, hazards, rack. Pure.

They work on drafts, so a file with one mistake elsewhere is still checked here; where a value could
not be read its rule is passed over.
"""

from __future__ import annotations

from typing import Literal

from darkroom.errors import nearest
from darkroom.process import rinses
from darkroom.process.file.stages import Draft, wrong
from darkroom.process.model import Sensitive, WetWindow
from darkroom.process.text.tree import Node, Sheet


def check_names(sheet: Sheet, drafts: list[Draft]) -> None:
    """Note a stage named twice, more than one exposure, and more than one rack stage."""
    seen: dict[str, Draft] = {}
    for draft in drafts:
        name = draft.name
        if name is not None and name in seen:
            line = seen[name].node.line
            wrong(sheet, draft, "name", f"the stage '{name}' is named twice, first on line {line}")
        elif name is not None:
            seen[name] = draft
    for key, value, what in (("ends", "exposure", "exposure"), ("rack", True, "way to the rack")):
        those = [draft for draft in drafts if draft.get(key) == value]
        for draft in those[1:]:
            wrong(sheet, draft, key, f"a process has at most one {what}")


def position(sheet: Sheet, node: Node, drafts: list[Draft], name: str) -> int | None:
    """Return the place of the stage that a key names; note one that does not exist."""
    names = [draft.name for draft in drafts]
    if name in names:
        return names.index(name)
    if None not in names:
        sheet.wrong(node, f"there is no stage '{name}'", nearest(name, [n for n in names if n]))
    return None


def check_light(
    sheet: Sheet, drafts: list[Draft], sensitive: Sensitive | Literal["never"], to: str | None
) -> None:
    """Note light that would fog the plate; `to` is the stage that ends the wet window."""
    names = [draft.name for draft in drafts]
    for draft in drafts:
        if draft.name is not None and draft.name == to and draft.get("light") == "covered":
            wrong(sheet, draft, "light", f"the plate lies open when '{to}' goes on: covered cannot be")
    if sensitive == "never" or sensitive.from_ not in names or sensitive.to not in names:
        return
    first, last = names.index(sensitive.from_), names.index(sensitive.to)
    covered = _coverable(drafts, first, last)
    for place, draft in enumerate(drafts):
        inside = first <= place < last
        light = draft.get("light")
        if inside and light == "white":
            span = f"from '{sensitive.from_}' to the start of '{sensitive.to}'"
            wrong(sheet, draft, "light", f"white light on a sensitive plate: {span} it is red or covered")
        elif inside and light == "covered" and place not in covered and draft.name != to:
            where = f"on '{sensitive.from_}', on the exposure and on stages that join it without a break"
            wrong(sheet, draft, "light", f"covered only {where}")
        if draft.get("ends") == "exposure" and not inside:
            wrong(sheet, draft, "ends", "the exposure lies where the plate is not sensitive")
        if draft.get("rack") and inside:
            wrong(sheet, draft, "rack", "a sensitive plate cannot go to the rack")
    for place in (first, last):
        if drafts[place].get("optional"):
            wrong(
                sheet,
                drafts[place],
                "optional",
                "where the plate becomes or ceases to be sensitive is never optional",
            )


def _coverable(drafts: list[Draft], first: int, last: int) -> set[int]:
    """Return the places on which a sensitive plate may be covered."""
    places = {first}
    for exposure in range(first, last):
        if drafts[exposure].get("ends") != "exposure":
            continue
        places.add(exposure)
        for step in (-1, 1):
            place = exposure + step
            while first <= place < last and drafts[place].get("light") == "covered":
                places.add(place)
                place += step
    return places


def check_wet_window(sheet: Sheet, node: Node, drafts: list[Draft], window: WetWindow) -> None:
    """Note a wet window that ends before it begins, or hangs on a stage that may be skipped."""
    names = [draft.name for draft in drafts]
    if window.from_ not in names or window.to not in names:
        return
    first, last = names.index(window.from_), names.index(window.to)
    if first >= last:
        sheet.wrong(node, f"the wet window ends at '{window.to}' before it begins after '{window.from_}'")
    for place in (first, last):
        if drafts[place].get("optional"):
            wrong(
                sheet, drafts[place], "optional", "the wet window hangs on this stage: it is never optional"
            )


def check_hazards(sheet: Sheet, drafts: list[Draft]) -> None:
    """Note cyanide without a real rinse before it, and acid on either side without water between."""
    for place, draft in enumerate(drafts):
        if "cyanide" in draft.holds:
            _check_before_cyanide(sheet, drafts, place)
            _check_after_cyanide(sheet, drafts, place)


def _check_before_cyanide(sheet: Sheet, drafts: list[Draft], place: int) -> None:
    if rinses.rinse_before(drafts, place) is not None:
        return
    for earlier in reversed(drafts[:place]):
        if "acid" in earlier.holds:
            rinse = "a stage that holds water, with 'at_least', must come between"
            wrong(sheet, drafts[place], "holds", f"acid before cyanide, in '{earlier.name}': {rinse}")
            return
        if "holds" in earlier.bad:
            return
    rinse = "a stage that holds water, with 'at_least', that is not optional"
    wrong(sheet, drafts[place], "holds", f"cyanide must follow {rinse}")


def _check_after_cyanide(sheet: Sheet, drafts: list[Draft], place: int) -> None:
    acid = rinses.acid_after(drafts, place)
    if acid is not None and rinses.rinse_after(drafts, place) is None:
        why = "acid after cyanide: a stage that holds water must come between"
        wrong(sheet, drafts[acid], "holds", why)
