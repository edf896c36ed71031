"""After an hour of anything every plate is the fold of its journal; after each kill the plates come back."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.kit.nightly import size
from tests.kit.random_hour import RandomHour

SEEDS = size("DARKROOM_HOURS", 4, 100)


@pytest.mark.parametrize("seed", range(SEEDS))
def test_an_hour_of_anything(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, seed: int) -> None:
    """Strikes, kills, torn lines, restarts, sleeps and clocks that are set: nothing fails or is lost."""
    monkeypatch.setenv("DARKROOM_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    hour = RandomHour(tmp_path / "home", seed)
    hour.live()
    assert not hour.failures
    assert hour.kills and hour.actions > 50
