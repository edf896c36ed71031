"""What the photographer chooses about sound."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from darkroom.devices.sound.cue_names import CUES, DRIVERS, ESSENTIAL
from darkroom.errors import WrongUse, nearest


@dataclass(frozen=True)
class SoundSettings:
    """Folder of own sounds, volume (0 to 1), silent cues, and a driver to insist on.

    `folder` holds WAVs named like ours, `voice/` in it the words; what is missing there comes from
    the shipped set. `silent` names cues, or "say" for the voice. `driver` None takes the first of
    `names.DRIVERS` that works. Raises WrongUse with the nearest right word.
    """

    folder: str | None = None
    volume: float = 1.0
    silent: frozenset[str] = frozenset()
    driver: str | None = None

    def __post_init__(self) -> None:
        """Check every value."""
        object.__setattr__(self, "silent", frozenset(self.silent))
        known = (*CUES, "say")
        for name in sorted(self.silent):
            if name not in known:
                near = nearest(name, known)
                raise WrongUse(f"there is no cue '{name}'" + (f" (did you mean '{near}'?)" if near else ""))
        if not 0.0 <= self.volume <= 1.0:
            raise WrongUse(f"the volume lies between 0 and 1, not at {self.volume:g}")
        if self.driver is not None and self.driver not in DRIVERS:
            near = nearest(self.driver, DRIVERS)
            hint = f" (did you mean '{near}'?)" if near else f": there are {', '.join(DRIVERS)}"
            raise WrongUse(f"there is no sound driver '{self.driver}'{hint}")

    def warnings(self) -> list[str]:
        """Return what the screen must say while these settings hold: calls that cannot be heard."""
        if self.driver == "none":
            return ["sound is off by setting: nothing is called"]
        if self.driver == "bell":
            return ["only the bell sounds, by setting: calls are not told apart"]
        if self.volume == 0.0:
            return ["the volume is 0: nothing is called"]
        silenced = [name.replace("_", " ") for name in ESSENTIAL if name in self.silent]
        if len(silenced) == len(ESSENTIAL):
            return ["end, overrun, past wet and refused are all silent by setting: watch the screen"]
        return [f"silent by setting: {', '.join(silenced)}"] if silenced else []

    def plain(self) -> dict[str, Any]:
        """Return the settings as plain values for the player's first line."""
        return {
            "folder": self.folder,
            "volume": self.volume,
            "silent": sorted(self.silent),
            "driver": self.driver,
        }
