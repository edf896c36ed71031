"""Runs the tool; what its sound player reports is written to a file as well: `reporting_tool.py FILE WORD…`.

FILE gets a line of JSON for each report, [kind, what]. The words are those of the command line.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from darkroom.cli import main
from darkroom.devices.sound import client


class ReportingSound(client.Sound):
    """The sound player's client, whose every report is written down before it is passed on."""

    file: Path

    def __init__(self, report: client.Report, **more: Any) -> None:
        """Open the file."""
        lines = self.file.open("a", encoding="utf-8", buffering=1)

        def written(kind: str, what: dict[str, Any]) -> None:
            lines.write(json.dumps([kind, what]) + "\n")
            report(kind, what)

        super().__init__(written, **more)


def reports(file: Path) -> list[tuple[str, dict[str, Any]]]:
    """Return the reports in a file so far, as (kind, what)."""
    if not file.exists():
        return []
    whole_lines = file.read_text(encoding="utf-8").rpartition("\n")[0].splitlines()
    return [(kind, what) for kind, what in map(json.loads, whole_lines)]


if __name__ == "__main__":
    ReportingSound.file = Path(sys.argv[1])
    client.Sound = ReportingSound  # type: ignore[misc]
    sys.exit(main(sys.argv[2:]))
