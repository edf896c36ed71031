"""A query for plates, as a condition and an order of the catalogue's SQL. Pure."""

from __future__ import annotations

import msgspec

from darkroom.errors import WrongUse

ORDERS = {
    "newest": "plate DESC, path DESC",
    "oldest": "plate, path",
    "stars": "stars IS NULL, stars DESC, plate DESC, path",
    "process": "process IS NULL, process, plate DESC, path",
}


class Query(msgspec.Struct, frozen=True, kw_only=True):
    """A query for plates: all conditions that are given must hold.

    `words` are looked for one by one, in any case; `process` and `fault` are parts of a name; `stars` is
    (least, most), `since` and `until` local days YYYY-MM-DD, both included; `temperature` is {source:
    (least, most) °C} and is compared with readings, never with assumed values. `state` is `rack`,
    `bench` or how the plate ended.
    """

    words: str = ""
    process: str | None = None
    fault: str | None = None
    stars: tuple[int, int] | None = None
    since: str | None = None
    until: str | None = None
    temperature: dict[str, tuple[float, float]] = {}
    state: str | None = None
    rehearsals: bool = False
    order: str = "newest"

    @property
    def leaves_all(self) -> bool:
        """Whether it leaves every plate, or every rehearsal, in the order of time."""
        plain = Query(rehearsals=self.rehearsals, order=self.order)
        return self == plain and self.order in ("newest", "oldest")

    def where(self) -> tuple[str, list[object]]:
        """Return the condition and its values."""
        conditions: list[str] = ["shelf = ?"]
        values: list[object] = ["rehearsals" if self.rehearsals else "plates"]

        def add(condition: str, *given: object) -> None:
            conditions.append(condition)
            values.extend(given)

        for word in self.words.casefold().split():
            add("instr(words, ?) > 0", word)
        if self.process:
            add("process LIKE ? ESCAPE '\\'", f"%{_escaped(self.process)}%")
        if self.fault:
            add(
                "EXISTS (SELECT 1 FROM faults WHERE faults.path = plates.path AND name LIKE ? ESCAPE '\\')",
                f"%{_escaped(self.fault)}%",
            )
        if self.stars is not None:
            add("stars BETWEEN ? AND ?", *self.stars)
        if self.since:
            add("day >= ?", self.since)
        if self.until:
            add("day <= ?", self.until)
        for source, (least, most) in self.temperature.items():
            add(
                "EXISTS (SELECT 1 FROM readings WHERE readings.path = plates.path AND source = ? "
                "AND origin != 'assumed' AND celsius BETWEEN ? AND ?)",
                source,
                least,
                most,
            )
        if self.state:
            add("? IN (plates.how, place)", self.state)
        return " AND ".join(conditions), values

    def order_by(self) -> str:
        """Return the order. Raises WrongUse for one that is none."""
        if self.order not in ORDERS:
            raise WrongUse(f"'{self.order}' is no order: {', '.join(ORDERS)}")
        return ORDERS[self.order]


def _escaped(text: str) -> str:
    return text.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_")
