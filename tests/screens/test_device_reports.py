"""Reports of writer, player and thermometers become notices, by their types."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from darkroom.devices.sound.reports import DriverChanged, SilentBySetting, SoundBack, SoundLost, SoundProblem
from darkroom.devices.thermometers.sensor_state import SensorReading, Trouble
from darkroom.log.journal.write import NotSaved, SavedAgain
from darkroom.screens.device_reports import ReportChannel, ReportHandler
from darkroom.screens.notices import Notices
from darkroom.screens.services import Services
from darkroom.screens.start import build


@pytest.fixture
def services(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Services]:
    """The services of a tool in a folder of its own, with no device started."""
    monkeypatch.setenv("DARKROOM_HOME", str(tmp_path))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    services = build(tmp_path)
    yield services
    services.close()


def handler(services: Services, waiting: dict[str, float]) -> tuple[ReportHandler, Notices]:
    """Return a handler that is told which plates wait, and its notices."""
    notices = Notices()
    return ReportHandler(
        services.session, services.cue_sender, services.readings, notices, lambda: waiting
    ), notices


def test_one_plate_saved_again_keeps_the_notice_of_another(services: Services) -> None:
    """While a second plate waits for the disk its reason stands; the last one saved clears the line."""
    waiting = {"one": 2.0, "two": 3.0}
    reports, notices = handler(services, waiting)
    reports.handle(NotSaved("one", "the disk is full", 1))
    reports.handle(NotSaved("two", "no permission", 1))
    del waiting["one"]
    reports.handle(SavedAgain("one"))
    assert notices.text == "not saved: no permission"
    del waiting["two"]
    reports.handle(SavedAgain("two"))
    assert notices.text is None


def test_the_reason_shown_is_of_a_plate_that_still_waits(services: Services) -> None:
    """When the plate that failed last is saved first, the other's reason comes back."""
    waiting = {"one": 2.0, "two": 3.0}
    reports, notices = handler(services, waiting)
    reports.handle(NotSaved("one", "the disk is full", 1))
    reports.handle(NotSaved("two", "no permission", 1))
    del waiting["two"]
    reports.handle(SavedAgain("two"))
    assert notices.text == "not saved: the disk is full"


def test_sound_that_is_lost_is_told_until_it_is_back(services: Services) -> None:
    """A lost player is told; a player that is back, or a driver that sounds, takes the line away."""
    reports, notices = handler(services, {})
    for back in (SoundBack(), DriverChanged("system", True, "sound: system")):
        reports.handle(SoundLost("sound lost"))
        assert notices.text == "sound lost"
        reports.handle(back)
        assert notices.text is None
    reports.handle(DriverChanged("bell", False, "no sound: the bell only"))
    assert notices.text == "no sound: the bell only"


def test_what_is_silent_by_setting_is_told_whatever_plays(services: Services) -> None:
    """A driver that sounds, or a player that is back, does not sound what the settings silence."""
    reports, notices = handler(services, {})
    reports.handle(SilentBySetting("silent by setting: end"))
    for report in (DriverChanged("system", True, "sound: system"), SoundLost("sound lost"), SoundBack()):
        reports.handle(report)
    assert notices.text == "silent by setting: end"


def test_a_file_that_cannot_be_played_hides_no_silence(services: Services) -> None:
    """The problem of one file stands beside the line that tells that nothing sounds."""
    reports, notices = handler(services, {})
    reports.handle(DriverChanged("bell", False, "no sound: the bell only"))
    reports.handle(SoundProblem("end.wav: no WAV"))
    assert notices.text == "no sound; end.wav: no WAV"
    reports.handle(DriverChanged("system", True, "sound: system"))
    assert notices.text == "end.wav: no WAV"


def test_a_lost_thermometer_is_told_until_it_reads_again(services: Services) -> None:
    """A trouble is told with its source; the next reading takes the line away and counts."""
    reports, notices = handler(services, {})
    reports.handle(Trouble("bath", "no answer", None, None, "bath probe", "no_answer", 1.0))
    assert notices.text == "bath thermometer: no answer"
    reports.handle(SensorReading("bath", 19.5, "bath probe", 2.0))
    assert notices.text is None
    assert services.session.bench.temperatures["bath"].value == 19.5


def test_what_is_reported_before_anyone_listens_is_kept_in_order() -> None:
    """A channel without a listener keeps reports and gives them, the first first, to the next listener."""
    channel = ReportChannel()
    channel.send(SoundLost("first"))
    channel.send(SoundBack())
    heard: list[object] = []
    channel.connect(heard.append)
    channel.send(SoundLost("third"))
    channel.disconnect()
    channel.send(SoundLost("fourth"))
    assert heard == [SoundLost("first"), SoundBack(), SoundLost("third")]
    channel.connect(heard.append)
    assert heard[-1] == SoundLost("fourth")


def test_a_report_that_comes_while_the_kept_ones_are_given_comes_after_them() -> None:
    """A player that is back before its loss was told is not left standing as lost."""
    channel = ReportChannel()
    channel.send(SoundLost("first"))
    channel.send(SoundLost("second"))
    heard: list[object] = []

    def listen(report: object) -> None:
        if not heard:
            channel.send(SoundBack())
        heard.append(report)

    channel.connect(listen)
    assert heard == [SoundLost("first"), SoundLost("second"), SoundBack()]
