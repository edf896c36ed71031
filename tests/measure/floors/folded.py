"""Every plate of a log read and folded once, and nothing made of it: python folded.py HOME."""

from __future__ import annotations

import sys
from pathlib import Path

from darkroom.log.journal.find import find_plates
from darkroom.log.journal.journal_names import FolderCache
from darkroom.log.plate.record import read_record

if __name__ == "__main__":
    folder_cache = FolderCache()
    for path in find_plates(Path(sys.argv[1])):
        read_record(path, folder_cache)
