"""The tables of the catalogue."""

from __future__ import annotations

from darkroom.solutions.plate_use import PlateUse

VERSION = 12
"""A catalogue of another version is thrown away and filled anew."""

PLATE_COLUMNS = (
    "path", "shelf", "plate", "number", "process", "process_sum", "day", "started", "moment", "ended", "how",
    "reason", "place", "subject", "who", "size", "lens", "aperture", "light", "fixer", "exposure", "exposed",
    "wet_used", "wet_about", "humidity", "humidity_from", "estimated", "stars", "exposure_stops",
    "best_strip", "next", "scan", "camera", "holder", "f_number", "ev", "exposure_word",
    "nothing_else", "proposed", "first_seen", "files", "words",
    "row_counts",
)  # fmt: skip
COUNTED = ("faults", "stages", "readings", "uses", "exposures")
"""The tables of which `row_counts` says how many rows a plate has ("1 12 5 4 1"): a lost one is found by it.

A page that another empty one replaced is sound by itself, so the structure of a table does not tell it."""
STAGE_COLUMNS = ("path", "position", "stage", "ends", "planned", "seconds", "how", "source", "celsius",
                 "origin", "law", "cleared", "exposed")  # fmt: skip
USE_COLUMNS = ("path", "position", *PlateUse.__struct_fields__)

BY_PATH = (
    "plates", "stages", "readings", "faults", "problems", "exposures", "uses", "trend_plates", "listed",
)  # fmt: skip
"""The tables whose rows each belong to one plate, by its `path`."""
CONTENT = (*BY_PATH, "processes")
"""The tables about plates; the others tell the catalogue which journals it has read."""
TABLES = (*CONTENT, "files", "folders", "meta")
"""All tables. The last column of each, `row_sum`, is a checksum of the others; see `row_sums`."""
FOR_LISTS = ("plates", "faults", "problems", "processes", "files", "folders", "meta")
FOR_LATELY = ("folders", "meta")
"""What tells whether the log was looked at lately."""
FOR_CHECKS = (*FOR_LATELY, "files")
"""What the journals are compared with."""
FOR_READY_LINES = ("problems",)
"""For a list without a filter; its lines are checked as they are read, see `Catalogue.line_texts`."""
FOR_STAGES = ("stages", "readings")
"""The large tables, which few ask: they are looked at when they are asked."""
FOR_LEARNING = ("exposures",)
"""What the judged exposures say; see `judged_plates`."""
SCHEMA = f"""
CREATE TABLE plates ({", ".join(PLATE_COLUMNS)}, row_sum, PRIMARY KEY (path)) WITHOUT ROWID;
CREATE INDEX plates_by_id ON plates (shelf, plate DESC, path);
CREATE INDEX plates_by_number ON plates (number);
CREATE TABLE stages ({", ".join(STAGE_COLUMNS)}, row_sum, PRIMARY KEY (path, position)) WITHOUT ROWID;
CREATE TABLE readings (path, source, celsius, origin, row_sum);
CREATE INDEX readings_by_path ON readings (path);
CREATE TABLE faults (path, position, name, place, cause, answers, row_sum);
CREATE INDEX faults_by_path ON faults (path, position);
CREATE INDEX faults_by_cause ON faults (cause) WHERE cause IS NOT NULL;
CREATE TABLE problems (path, file, line, key, what, row_sum);
CREATE INDEX problems_by_path ON problems (path);
CREATE TABLE exposures (path, plate, number, judged, left_out, row_sum, PRIMARY KEY (path)) WITHOUT ROWID;
CREATE TABLE uses ({", ".join(USE_COLUMNS)}, row_sum, PRIMARY KEY (path, position)) WITHOUT ROWID;
CREATE INDEX uses_by_bottle ON uses (bottle, name);
CREATE TABLE trend_plates (path, shelf, packed, row_sum, PRIMARY KEY (path)) WITHOUT ROWID;
CREATE TABLE listed (path, shelf, plate, line, row_sum, PRIMARY KEY (path)) WITHOUT ROWID;
CREATE TABLE processes (sum PRIMARY KEY, name, body, row_sum);
CREATE TABLE files (path PRIMARY KEY, first, folder, size, mtime_ns, inode, row_sum) WITHOUT ROWID;
CREATE INDEX files_by_folder ON files (folder);
CREATE INDEX files_by_first ON files (first);
CREATE TABLE folders (path PRIMARY KEY, mtime_ns, row_sum);
CREATE TABLE meta (key PRIMARY KEY, value, row_sum);
PRAGMA user_version = {VERSION};
"""
