"""Reports of the journal's writer, the sound player and the thermometers, brought to the screen's thread.

Whoever reports does not know the application: reports go into a `ReportChannel` from any thread, the
application connects to it, and `ReportHandler` makes notices, cues and readings of them.
"""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from darkroom.bench.cues import Cue
from darkroom.devices.sound import reports as sound
from darkroom.log.journal.write import NotSaved, Saved, SavedAgain, Spilled
from darkroom.log.store.paths import printable, spill_places
from darkroom.screens.notices import Notices
from darkroom.session.readings import Readings
from darkroom.session.session import Session
from darkroom.session.voice import CueSender
from darkroom.settings.settings import Settings

if TYPE_CHECKING:
    from darkroom.devices.awake import SleepLock
    from darkroom.devices.clock import Clock
    from darkroom.devices.sound.client import Sound
    from darkroom.devices.thermometers.polling import Thermometers
    from darkroom.devices.thermometers.sensor_state import SensorReading, Trouble

    DeviceReport = Saved | NotSaved | SavedAgain | Spilled | sound.SoundReport | SensorReading | Trouble

MOST_KEPT = 1000
"""So many reports are kept for an application that is not there yet; the oldest are let go first."""


class ReportChannel:
    """Takes reports from any thread; keeps them until an application listens."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._kept: deque[DeviceReport] = deque(maxlen=MOST_KEPT)
        self._listener: Callable[[DeviceReport], None] | None = None

    def send(self, report: DeviceReport) -> None:
        """Pass a report on, on the caller's thread, or keep it."""
        with self._lock:
            listener = self._listener
            if listener is None:
                self._kept.append(report)
        if listener is not None:
            listener(report)

    def connect(self, listener: Callable[[DeviceReport], None]) -> None:
        """Send reports to this listener from now on, those that were kept first."""
        while True:
            with self._lock:
                kept = list(self._kept)
                self._kept.clear()
                if not kept:
                    self._listener = listener
                    return
            for report in kept:  # what comes meanwhile is kept: it is newer
                listener(report)

    def disconnect(self) -> None:
        """Keep reports from now on: the application is gone."""
        with self._lock:
            self._listener = None


class Devices:
    """Owns the sound player, the thermometers and the lock against sleep.

    Nothing here is the reason for a late screen.
    """

    def __init__(
        self, settings: Settings, clock: Clock, send: Callable[[DeviceReport], None], *, thermometers: bool
    ) -> None:
        self.settings, self.clock, self.send = settings, clock, send
        self.with_thermometers = thermometers
        self.sound: Sound | None = None
        self.thermometers: Thermometers | None = None
        self.sleep_lock: SleepLock | None = None

    def start(self) -> Sound:
        """Start them, off the caller's thread, unless they run; return the sound player's client."""
        if self.sound is None:
            self.sound = self._start_sound()
        if self.thermometers is None and self.with_thermometers and self.settings.bindings:
            from darkroom.devices.thermometers.polling import Thermometers

            self.thermometers = Thermometers(self.settings.bindings, self.send, self.clock)
            self.thermometers.start()
        if self.sleep_lock is None:
            from darkroom.devices.awake import SleepLock

            self.sleep_lock = SleepLock()
        return self.sound

    def keep_awake(self, yes: bool) -> None:
        """Keep the machine awake from now on, or let it sleep; once `start` was called."""
        if self.sleep_lock is not None:
            if yes:
                self.sleep_lock.hold()
            else:
                self.sleep_lock.release()

    def _start_sound(self) -> Sound:
        from darkroom.devices.sound.client import Sound

        player_settings = self.settings.sound.for_player()
        for warning in player_settings.warnings()[:1]:
            if player_settings.driver != "bell":  # of that the player tells itself
                self.send(sound.SilentBySetting(warning))

        def receive(kind: str, values: Mapping[str, object]) -> None:
            report = sound.sound_report(kind, values)
            if report is not None:
                self.send(report)

        player = Sound(receive, settings=player_settings)
        player.start()
        return player

    def stop(self) -> None:
        """Stop them at the end."""
        if self.sleep_lock is not None:
            self.sleep_lock.close()
        if self.sound is not None:
            self.sound.close()
        if self.thermometers is not None:
            self.thermometers.stop(0.2)


class ReportHandler:
    """Makes notices, cues and readings of reports; every call is on the screen's thread.

    `waiting` gives {plate: seconds its oldest unsaved event has waited}.
    """

    def __init__(
        self,
        session: Session,
        cue_sender: CueSender,
        readings: Readings,
        notices: Notices,
        waiting: Callable[[], Mapping[str, float]],
    ) -> None:
        self.session, self.cue_sender, self.readings, self.notices = session, cue_sender, readings, notices
        self.waiting = waiting
        self._unsaved: dict[str, str] = {}
        self._troubled: set[str] = set()

    def handle(self, report: DeviceReport) -> None:
        """Act on one report."""
        match report:
            case Saved():
                pass
            case NotSaved(plate=plate, why=why):
                self._unsaved.pop(plate, None)  # the newest reason stands last
                self._unsaved[plate] = why
                self._say_unsaved()
                self.cue_sender.play(Cue(up=self.session.now(), name="not_saved", say=("not saved",)))
            case SavedAgain(plate=plate):
                self._unsaved.pop(plate, None)
                if not self._say_unsaved():
                    self.cue_sender.play(Cue(up=self.session.now(), name="saved_again", say=("saved again",)))
            case Spilled(path=path):
                if path.parent in spill_places():
                    self.notices.say("spill", f"saved elsewhere: {printable(path)}")
                else:
                    self.notices.say("spill", f"saved in a further file: {path.name}")
            case sound.CautionEnded(said=said):
                self.session.caution_ended(said=said)
            case sound.BellWanted():
                self.cue_sender.bell()
            case sound.DriverChanged():
                # from here on the player asks for the bell itself when it has nothing better
                self.cue_sender.bell_only = False
                self.notices.say("sound", None if report.sounding else report.text)
            case sound.SoundLost(text=text):
                self.notices.say("sound", text)
            case sound.SoundBack():
                self.notices.say("sound", None)
                self.session.reschedule_cues()
            case sound.SoundProblem(text=text):  # of a file of sound: it tells nothing of what plays
                self.notices.say("sounds", text)
            case sound.SilentBySetting(text=text):
                self.notices.say("silent", text)
            case _:
                self._thermometer(report)

    def _say_unsaved(self) -> bool:
        """Say why plates wait for the disk, by what waits now; return whether any does."""
        waiting = self.waiting()
        self._unsaved = {plate: why for plate, why in self._unsaved.items() if plate in waiting}
        reasons = list(self._unsaved.values())
        self.notices.say("disk", f"not saved: {reasons[-1]}" if reasons else None)
        return bool(reasons)

    def _thermometer(self, report: SensorReading | Trouble) -> None:
        from darkroom.devices.thermometers.sensor_state import SensorReading

        source = report.source
        if isinstance(report, SensorReading):
            if source in self._troubled:
                self._troubled.discard(source)
                self.notices.say(f"thermometer {source}", None)
            self.readings.take_measured(source, report.value, report.name)
            return
        last = ""
        if report.last_good is not None:
            # an instant, not an age: the line stands for a minute, and the end of a long one is cut
            clock = self.session.clock
            taken = clock.wall() - (clock.up() - report.up + (report.age or 0.0))
            last = f"last {report.last_good:.1f} °C at {clock.stamp(taken)[11:19]}, "
        self._troubled.add(source)
        self.notices.say(f"thermometer {source}", f"{source} thermometer: {last}{report.why}")
