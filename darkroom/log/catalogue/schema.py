"""The tables of the catalogue, and questions to them as SQL."""

from __future__ import annotations

import msgspec

from darkroom.errors import WrongUse

VERSION = 3
"""A catalogue of another version is thrown away and filled anew."""

PLATE_COLUMNS = (
    "path", "shelf", "plate", "number", "process", "process_sum", "day", "started", "moment", "ended", "how",
    "reason", "place", "subject", "who", "size", "lens", "aperture", "light", "fixer", "exposure", "exposed",
    "wet_used", "wet_about", "humidity", "humidity_from", "estimated", "stars", "exposure_stops",
    "best_strip", "next", "scan", "files", "words",
)  # fmt: skip
STAGE_COLUMNS = ("path", "position", "stage", "ends", "planned", "seconds", "how", "source", "celsius",
                 "origin", "law", "cleared", "exposed")  # fmt: skip

TABLES = ("plates", "stages", "readings", "faults", "problems", "processes", "files", "folders", "meta")
CONTENT = TABLES[:6]
"""What a catalogue says of plates; the rest is how it keeps up."""

SCHEMA = f"""
CREATE TABLE plates ({", ".join(PLATE_COLUMNS)}, PRIMARY KEY (path)) WITHOUT ROWID;
CREATE INDEX plates_by_id ON plates (shelf, plate DESC, path);
CREATE INDEX plates_by_number ON plates (number);
CREATE TABLE stages ({", ".join(STAGE_COLUMNS)}, PRIMARY KEY (path, position)) WITHOUT ROWID;
CREATE TABLE readings (path, source, celsius, origin);
CREATE INDEX readings_by_path ON readings (path);
CREATE TABLE faults (path, position, name, place);
CREATE INDEX faults_by_path ON faults (path, position);
CREATE TABLE problems (path, file, line, key, what);
CREATE INDEX problems_by_path ON problems (path);
CREATE TABLE processes (sum PRIMARY KEY, name, body);
CREATE TABLE files (path PRIMARY KEY, first, folder, size, mtime_ns, inode) WITHOUT ROWID;
CREATE INDEX files_by_folder ON files (folder);
CREATE INDEX files_by_first ON files (first);
CREATE TABLE folders (path PRIMARY KEY, mtime_ns);
CREATE TABLE meta (key PRIMARY KEY, value);
PRAGMA user_version = {VERSION};
"""

ORDERS = {
    "newest": "plate DESC, path DESC",
    "oldest": "plate, path",
    "stars": "stars IS NULL, stars DESC, plate DESC, path",
    "process": "process IS NULL, process, plate DESC, path",
}


class Query(msgspec.Struct, frozen=True, kw_only=True):
    """Which plates are asked for. All that is given must hold.

    `words` are looked for one by one, in any case; `process` and `fault` are parts of a name; `stars` is
    (least, most), `since` and `until` local days YYYY-MM-DD, both included; `temperature` is {source:
    (least, most) °C} and is held against readings alone, never against what was assumed. `plate` is
    `rack`, `bench` or how it ended.
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

    def where(self) -> tuple[str, list[object]]:
        """Return the condition and its values."""
        found: list[str] = ["shelf = ?"]
        values: list[object] = ["rehearsals" if self.rehearsals else "plates"]

        def add(condition: str, *given: object) -> None:
            found.append(condition)
            values.extend(given)

        for word in self.words.casefold().split():
            add("instr(words, ?) > 0", word)
        if self.process:
            add("process LIKE ? ESCAPE '\\'", f"%{_plain(self.process)}%")
        if self.fault:
            add("EXISTS (SELECT 1 FROM faults WHERE faults.path = plates.path AND name LIKE ? ESCAPE '\\')",
                f"%{_plain(self.fault)}%")  # fmt: skip
        if self.stars is not None:
            add("stars BETWEEN ? AND ?", *self.stars)
        if self.since:
            add("day >= ?", self.since)
        if self.until:
            add("day <= ?", self.until)
        for source, (least, most) in self.temperature.items():
            add("EXISTS (SELECT 1 FROM readings WHERE readings.path = plates.path AND source = ? "
                "AND origin != 'assumed' AND celsius BETWEEN ? AND ?)", source, least, most)  # fmt: skip
        if self.state:
            add("? IN (plates.how, place)", self.state)
        return " AND ".join(found), values

    def order_by(self) -> str:
        """Return the order. Raises WrongUse for one that is none."""
        if self.order not in ORDERS:
            raise WrongUse(f"'{self.order}' is no order: {', '.join(ORDERS)}")
        return ORDERS[self.order]


def _plain(text: str) -> str:
    return text.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_")
