"""An export works each plate out once, however many columns, pages and figures it fills."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from darkroom.log.export.registry import FORMATS
from darkroom.log.journal import journal_names, merge, read
from darkroom.log.plate import account, judged_exposure
from tests.kit.export_fixtures import Export


def counted(counts: Counter[str], name: str, function: Callable[..., Any]) -> Callable[..., Any]:
    """Return the function, its calls counted."""

    def counting(*args: Any, **kwargs: Any) -> Any:
        counts[name] += 1
        return function(*args, **kwargs)

    return counting


@pytest.mark.parametrize("form", FORMATS)
def test_each_plate_is_read_and_folded_once(
    form: str, plates: list[Path], export: Export, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One fold, one look for standing lines and one at the exposure a plate; each folder is listed once."""
    counts: Counter[str] = Counter()
    monkeypatch.setattr(account, "quick_fold", counted(counts, "fold", account.quick_fold))
    monkeypatch.setattr(merge, "standing", counted(counts, "standing", merge.standing))
    monkeypatch.setattr(judged_exposure, "_said", counted(counts, "exposures", judged_exposure._said))
    monkeypatch.setattr(read, "read_file", counted(counts, "files", read.read_file))
    monkeypatch.setattr(merge, "read_file", read.read_file)
    monkeypatch.setattr(journal_names, "names_in", counted(counts, "folders", journal_names.names_in))
    to = tmp_path / ("scans" if FORMATS[form].one_plate else f"out{FORMATS[form].suffix}")
    if FORMATS[form].one_plate:
        to.mkdir()
    assert export(form, "--all", "--to", to)[0] == 0
    assert counts["fold"] == counts["standing"] == counts["files"] == len(plates)
    assert counts["exposures"] <= len(plates)
    assert counts["exposures"] or form != "html"
    assert counts["folders"] <= len({path.parent for path in plates}) + len(journal_names.spill_folders())
