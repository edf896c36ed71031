"""A journal that tells what its process does not have never keeps the tool from opening."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import msgspec
import pytest

from darkroom.bench.view import bench_view
from darkroom.log.journal import frame
from darkroom.log.store import paths
from darkroom.screens.start import build
from tests.kit.bench import PROCESS, Hand


def _left_behind(home: Path, without: str) -> str:
    """Write the journal of a plate in the fixer whose process, as written, lacks a stage; return its id."""
    hand = Hand()
    hand.to_stage("fix")
    plate, state = next((key, state) for key, state in hand.bench.plates.items() if key)
    plate = "20260301-090000-aaaaaa"
    stages = [stage for stage in PROCESS["stages"] if stage["name"] != without]
    first, *rest = state.lines
    now = datetime.now(UTC).astimezone()
    changed: dict[str, Any] = {
        "process": {**PROCESS, "stages": stages},
        "bench": paths.bench_id(),
        "plate": plate,
        "at": now.isoformat(timespec="milliseconds"),
    }
    path = paths.plate_path(home, plate, now.date().isoformat())
    path.parent.mkdir(parents=True)
    events = [msgspec.structs.replace(first, **changed), *rest]
    path.write_bytes(b"".join(map(frame.encode, events)))  # type: ignore[arg-type]
    return plate


@pytest.mark.parametrize("without", ["coat", "drain", "fix", "sensitise"])
def test_it_stays_in_the_log_and_is_told_of(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, without: str
) -> None:
    """The tool opens, the bench can be drawn without that plate, and the quiet line names it."""
    monkeypatch.setenv("DARKROOM_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    plate = _left_behind(tmp_path / "home", without)
    services = build(tmp_path / "home")
    try:
        assert services.notices.text is not None and plate in services.notices.text
        assert not services.session.bench.on_bench
        bench_view(services.session.bench, services.session.now())
        assert list((tmp_path / "home").glob(f"plates/*/*/{plate}.jsonl"))
    finally:
        services.close()
