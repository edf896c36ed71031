"""The questions that DEVELOPERS.md asks of the Parquet tables, as DuckDB is asked them."""

from __future__ import annotations

import re

from tests.kit.documents import ROOT

SECTION = "\n## Many benches, one log\n"
NAMES = ("views", "plates a month", "stars by developer age", "fault shares", "stage times", "first page")


def questions() -> dict[str, str]:
    """Return {name: SQL}, the views that the others need first."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    section = text.split(SECTION)[1].split("\n## ")[0]
    return dict(zip(NAMES, re.findall(r"```sql\n(.*?)```", section, re.DOTALL), strict=True))
