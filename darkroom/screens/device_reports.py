"""Voice and thermometers of the tool: started after the first frame, their reports brought to the screen."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from darkroom.screens.host import Host
from darkroom.settings.settings import Settings


@dataclass
class Senses:
    """Owns the sound player and the thermometers; nothing here is the reason for a late screen."""

    settings: Settings
    sound: Any = None
    thermometers: Any = None
    troubles: dict[str, str] = field(default_factory=dict)

    def start(self, tool: Host) -> None:
        """Start both, off the screen's thread."""
        self._sound(tool)
        if self.settings.bindings and not tool.rehearsal:
            self._thermometers(tool)

    def _sound(self, tool: Host) -> None:
        from darkroom.devices.sound.client import Sound

        chosen = self.settings.sound.for_player()
        if self.sound is None:
            warned = chosen.warnings()
            if warned:
                tool.say_quietly("sound", warned[0])
            self.sound = Sound(
                lambda kind, what: tool.from_thread(lambda: self.heard(tool, kind, what)), settings=chosen
            )
            tool.calls.bell_only = chosen.driver == "bell"
            self.sound.start()
        tool.calls.player = self.sound
        tool.session.sound_again()

    def heard(self, tool: Host, kind: str, what: dict[str, Any]) -> None:
        """Take a report of the sound player, on the screen's thread."""
        if kind == "bell":
            tool.bell()
        elif kind == "driver":
            tool.calls.bell_only = False  # the player asks for the bell itself when it has nothing better
            tool.say_quietly("sound", what.get("text") if what.get("driver") in ("bell", "none") else None)
        elif kind in ("lost", "died"):
            tool.say_quietly("sound", what.get("text") or "sound lost")
        elif kind in ("back", "restarted"):
            tool.say_quietly("sound", None)
            tool.session.sound_again()
        elif kind == "problem":
            tool.say_quietly("sound", what.get("text"))

    def _thermometers(self, tool: Host) -> None:
        from darkroom.devices.thermometers.polling import Thermometers
        from darkroom.devices.thermometers.sensor_state import SensorReading

        def report(what: object) -> None:
            tool.from_thread(lambda: self._told(tool, what))

        self._reading = SensorReading
        self.thermometers = Thermometers(self.settings.bindings, report, tool.session.clock)
        self.thermometers.start()

    def _told(self, tool: Host, what: Any) -> None:
        source = what.source
        if isinstance(what, self._reading):
            if self.troubles.pop(source, None) is not None:
                tool.say_quietly(f"thermometer {source}", None)
            tool.parts.readings.measured(source, what.value, what.name)
            return
        last = ""
        if what.last_good is not None:
            # an instant, not an age: the line stands for a minute, and the end of a long one is cut
            clock = tool.session.clock
            taken = clock.wall() - (clock.up() - what.up + (what.age or 0.0))
            last = f"last {what.last_good:.1f} °C at {clock.stamp(taken)[11:19]}, "
        self.troubles[source] = what.why
        tool.say_quietly(f"thermometer {source}", f"{source} thermometer: {last}{what.why}")

    def stop(self) -> None:
        """Stop both at the end."""
        if self.sound is not None:
            self.sound.close()
        if self.thermometers is not None:
            self.thermometers.stop(0.2)
