"""`darkroom rehearse`: from its options to the rehearsal that the tool opens."""

from __future__ import annotations

from typing import Any

import pytest

from darkroom import cli
from darkroom.commands.rehearse import GUIDED_EXPOSURE
from darkroom.devices.clock import Clock
from darkroom.screens import start
from darkroom.session.rehearsal import Rehearsal


@pytest.fixture
def opened(monkeypatch) -> dict[str, Any]:
    """Return what the tool was opened with, instead of opening it."""
    got: dict[str, Any] = {}

    def open_tool(form: object = None, process: object = None, rehearsal: object = None) -> int:
        got.update(form=form, process=process, rehearsal=rehearsal)
        return 0

    monkeypatch.setattr(start, "open_tool", open_tool)
    return got


def readings(rehearsal: Rehearsal) -> dict[str, float]:
    """Return the first simulated readings."""
    clock = rehearsal.clock(Clock())
    return dict(rehearsal.due(clock.up()))


def test_a_rehearsal_as_it_comes(opened) -> None:
    """Without options it runs at 20, unguided, its liquids as the process assumes."""
    assert cli.main(["rehearse", "clear-glass"]) == 0
    rehearsal, process = opened["rehearsal"], opened["process"]
    assert (rehearsal.speed, rehearsal.guided) == (20.0, False)
    first = readings(rehearsal)
    assert {source: first[source] for source in process.temperatures} == process.temperatures
    assert first["humidity"] == process.humidity


def test_options_reach_the_rehearsal(opened) -> None:
    """Speed, the liquids' beginnings, humidity, exposure and subject go where they belong."""
    words = ["--speed", "8", "--temperature", "bath=16C,room=24C", "--humidity", "35", "--exposure", "2s,2s"]
    assert cli.main(["rehearse", "tintype", *words, "--subject", "vase"]) == 0
    assert opened["rehearsal"].speed == 8.0
    first = readings(opened["rehearsal"])
    assert (first["bath"], first["room"], first["humidity"]) == (16.0, 24.0, 35.0)
    form = opened["form"]
    assert (form.exposure, form.subject) == ("2s,2s", "vase")


def test_the_liquids_are_told_by_the_thermometers_not_typed(opened) -> None:
    """The form gets no typed temperature: it would contradict the rehearsal's drifting thermometers."""
    assert cli.main(["rehearse", "tintype", "--temperature", "18C", "--humidity", "40"]) == 0
    assert (opened["form"].temperatures, opened["form"].humidity) == ({}, "")


def test_guided_is_slower(opened) -> None:
    """With --guided it runs at 5 unless told otherwise."""
    assert cli.main(["rehearse", "tintype", "--guided"]) == 0
    assert (opened["rehearsal"].guided, opened["rehearsal"].speed) == (True, 5.0)
    assert cli.main(["rehearse", "tintype", "--guided", "--speed", "2"]) == 0
    assert opened["rehearsal"].speed == 2.0


@pytest.mark.parametrize(
    ("words", "phrase"),
    [
        (["rehearse", "tintyp"], "did you mean 'tintype'"),
        (["rehearse", "tintype", "--temperature", "bat=18C"], "did you mean 'bath'"),
        (["rehearse", "tintype", "--temperature", "18"], "has no unit"),
        (["rehearse", "tintype", "--humidity", "120"], "--humidity"),
        (["rehearse", "tintype", "--exposure", "long"], "--exposure"),
        (["rehearse", "tintype", "--speed", "0"], "--speed"),
        (["rehearse"], "PROCESS"),
    ],
)
def test_wrong_use_exits_2(opened, capsys, words: list[str], phrase: str) -> None:
    """Wrong words are told with the nearest right one, and the tool is not opened."""
    assert cli.main(words) == 2
    assert phrase in capsys.readouterr().err
    assert opened == {}


def test_guided_has_an_exposure_to_make_longer(opened) -> None:
    """With --guided and no exposure it has one of its own; one that is typed wins."""
    assert cli.main(["rehearse", "tintype", "--guided"]) == 0
    assert opened["form"].exposure == GUIDED_EXPOSURE
    assert cli.main(["rehearse", "tintype", "--guided", "--exposure", "2s,2s"]) == 0
    assert opened["form"].exposure == "2s,2s"
    assert cli.main(["rehearse", "tintype"]) == 0
    assert opened["form"].exposure == ""
