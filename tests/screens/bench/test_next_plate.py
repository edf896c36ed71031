"""What the next plate takes over from the last, and what it does not."""

from __future__ import annotations

import json
import time
from pathlib import Path

import pytest

from darkroom.bench.exposure import NICE, third_of_a_stop
from darkroom.screens.app import Tool
from darkroom.screens.start import build
from darkroom.session.plate_form import PlateForm
from tests.kit.day import go_through_sheet


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of an empty log."""
    monkeypatch.setenv("DARKROOM_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    (tmp_path / "home").mkdir()
    return tmp_path / "home"


@pytest.mark.parametrize(("day", "kept"), [("2020-01-01", False), (None, False), ("today", True)])
def test_what_thermometers_said_on_another_day_is_left_out(home: Path, day: str | None, kept: bool) -> None:
    """The form keeps its words; temperatures, and that no bottle was taken, hold for the same day alone."""
    services = build(home)
    today = services.today()
    form = {"process": "tintype", "subject": "Jug", "temperatures": {"bath": "18"}, "humidity": "60"}
    form["no_bottles"] = ["bath"]
    book = {"form": form, **({"day": today if day == "today" else day} if day else {})}
    (home / "bench.json").write_text(json.dumps(book))
    services.close()
    services = build(home)
    assert services.memory.form.subject == "Jug"
    assert (services.memory.form.temperatures, services.memory.form.humidity) == (
        ({"bath": "18"}, "60") if kept else ({}, "")
    )
    assert services.memory.form.no_bottles == (["bath"] if kept else [])
    services.close()


def test_a_new_plate_like_the_last_has_the_exposure_that_the_last_one_got(home: Path) -> None:
    """A third of a stop more at the lens is what the next one begins with, not the form's first thought."""
    services = build(home)
    tool = Tool(services)
    process = services.processes.read("clear-glass")
    begun: list[PlateForm] = []
    tool.before_plate.put_on = lambda form, process: begun.append(form)  # type: ignore[method-assign, assignment]
    go_through_sheet(services.home, services.bench_id)
    tool.form = PlateForm(process="clear-glass", exposure="8 s")
    services.session.put_on(services.plate_from(tool.form, process))
    for key in ("up", "space"):
        services.session.key(key)
        time.sleep(1.0)  # two strikes, not one handful
        services.session.tick()
    tool.again()
    assert services.last_seconds() == 10.0
    assert begun[0].exposure == "10 s"
    services.close()


def test_a_third_of_a_stop_is_the_dials_nearest() -> None:
    """From any time the step is within a quarter of a stop of a third; on the dial it goes one mark."""
    import math

    for seconds in (1.1, 2.9, 3.0, 7.0, 45.0):
        for way in (1, -1):
            step = math.log2(third_of_a_stop(seconds, way) / seconds) * way
            assert 0.09 < step < 0.59, (seconds, way, step)
    for at, value in enumerate(NICE[:-1]):
        assert third_of_a_stop(value, 1) == NICE[at + 1]
        assert third_of_a_stop(NICE[at + 1], -1) == value
    assert third_of_a_stop(3.0, 1) == 4.0
