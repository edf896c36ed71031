"""The rows of the list of plates: a plate a row, the day where it begins. Pure."""

from __future__ import annotations

from datetime import date
from typing import Any

from darkroom.log.plate.faults import JudgedFault
from darkroom.process.text.days import show_day
from darkroom.process.text.plain_text import plain
from darkroom.screens.widgets.rows import Row, clip, width

PlateRow = dict[str, Any]

FIXED = {"day": 11, "begun": 5, "plate": 6, "process": 12, "subject": 16, "stars": 5, "fault": 14}
"""{column: cells} that every screen shows; those of 80 columns have two cells more."""
WISHES = (("process", 10), ("subject", 6), ("fault", 8))
"""(column, further cells), where a wider screen first has room for them."""
RIGHT = ("day", "plate")
FURTHER = (("exposure", 14), ("wet", 15), ("aperture", 8), ("next time", 30))
"""(column, cells) that a wider screen shows, the most wanted first."""


def day_words(day: object) -> str:
    """Return "2 Mar 2026" from a local day, or the text as it is."""
    try:
        local_date = date.fromisoformat(str(day))
    except ValueError:
        return plain(str(day or ""))
    return show_day(local_date)


def stars_words(stars: object) -> str:
    """Return "***" for three; a dash for none of them; nothing for a plate not judged."""
    if not isinstance(stars, int):
        return ""
    return "*" * max(0, min(5, stars)) or "-"


def ended_words(row: PlateRow) -> str:
    """Return how a plate that is not simply done stands: "on the rack", "given up"."""
    if row["how"] == "abandoned":
        return "given up"
    if row["how"] is None:
        return f"on the {row['place']}"
    return "" if row["how"] == "done" else str(row["how"])


def minutes(seconds: object) -> str:
    """Return a time as m:ss."""
    if not isinstance(seconds, (int, float)):
        return ""
    whole_seconds = round(seconds)
    return f"{whole_seconds // 60}:{whole_seconds % 60:02d}"


def wet_words(row: PlateRow) -> str:
    """Return "8:10 of ~10:00"."""
    used, about = minutes(row["wet_used"]), minutes(row["wet_about"])
    if used and about:
        return f"{used} of ~{about}"
    return used


def layout(columns: int) -> list[tuple[str, int]]:
    """Return (column, cells) of a screen so wide, with one cell before each column."""
    cells = dict(FIXED)
    room = columns - sum(size + 1 for size in cells.values())
    for name, wish in WISHES:
        extra = max(0, min(wish, room))
        cells[name] += extra
        room -= extra
    for name, size in FURTHER:
        if size + 1 > room:
            break
        cells[name] = size
        room -= size + 1
    cells["subject"] = max(1, cells["subject"] + room)
    return list(cells.items())


def heads(columns: int) -> Row:
    """Return the names of the columns."""
    return [("".join(" " + _cell(name, name, cells) for name, cells in layout(columns)), "quiet")]


def line(row: PlateRow, before: PlateRow | None, columns: int, active: bool, held: bool) -> Row:
    """Return a plate's row; its day is said where the plate `before` is of another. `held`: to compare."""
    texts = {
        "day": day_words(row["day"]) if before is None or before["day"] != row["day"] else "",
        "begun": str(row["started"] or "")[11:16],
        "plate": "?" if row["number"] is None else row["number"],
        "process": row["process"] or "?",
        "subject": row["subject"] if row["started"] else f"{row['plate']}: its first line is lost",
        "stars": stars_words(row["stars"]),
        "fault": _fault_names(row["faults"]) or ended_words(row),
        "exposure": row["exposure"], "wet": wet_words(row), "aperture": row["aperture"],
        "next time": row["next"],
    }  # fmt: skip
    cells = [_cell(name, texts[name], size) for name, size in layout(columns)]
    day, other_cells = ("+" if held else " ") + cells[0], "".join(" " + cell for cell in cells[1:])
    if active:
        return [(day + other_cells, "reversed")]
    return [(day, "text"), (other_cells, "text" if row["how"] else "loud")]


def _fault_names(faults: list[JudgedFault]) -> str:
    """Return the names of the faults alone: where they are stands on the plate's page."""
    return "; ".join(fault.name for fault in faults)


def _cell(name: str, value: object, size: int) -> str:
    text = clip(plain("" if value is None else str(value)), size)
    room = " " * (size - width(text))
    return room + text if name in RIGHT else text + room


def details_line(row: PlateRow, columns: int) -> Row:
    """Return what the list has no column for, of the plate under the cursor."""
    details = [
        ("", ended_words(row)), ("", row["reason"]), ("", row["exposure"]), ("wet ", wet_words(row)),
        ("lens ", row["lens"]), ("", row["aperture"]), ("light: ", row["light"]), ("by ", row["who"]),
        ("next time: ", row["next"]),
    ]  # fmt: skip
    text = "  ·  ".join(name + plain(str(value)).replace("\n", " ") for name, value in details if value)
    return [(clip(text, columns), "text")]
