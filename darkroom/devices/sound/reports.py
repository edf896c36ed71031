"""What the sound player tells the screen, one type for each kind of report that the screen acts on."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from msgspec import Struct

from darkroom.devices.sound.cue_names import CAUTION


class BellWanted(Struct, frozen=True):
    """The terminal's bell is to be rung now."""


class DriverChanged(Struct, frozen=True):
    """The driver in use: `sounding` is false for the bell and for none."""

    driver: str
    sounding: bool
    text: str


class SoundLost(Struct, frozen=True):
    """A driver or the whole player died."""

    text: str


class SoundBack(Struct, frozen=True):
    """A driver sounds again, or the player was started again."""


class SoundProblem(Struct, frozen=True):
    """Something of the sounds cannot be used."""

    text: str


class SilentBySetting(Struct, frozen=True):
    """Calls that the photographer has silenced, whatever plays: true as long as the tool runs."""

    text: str


class CautionEnded(Struct, frozen=True):
    """A caution was said to its end, or was given up before."""

    said: bool


SoundReport = (
    CautionEnded | BellWanted | DriverChanged | SoundLost | SoundBack | SoundProblem | SilentBySetting
)


def sound_report(kind: str, values: Mapping[str, Any]) -> SoundReport | None:
    """Return the typed report of a kind that `client.Sound` tells, or None for one that needs no act."""
    text = str(values.get("text") or "")
    match kind:
        case "bell":
            return BellWanted()
        case "driver":
            driver = str(values.get("driver"))
            return DriverChanged(driver, driver not in ("bell", "none"), text)
        case "lost" | "died":
            return SoundLost(text or "sound lost")
        case "back" | "restarted":
            return SoundBack()
        case "problem":
            return SoundProblem(text)
        case "said" | "dropped":
            cue = values.get("cue")
            if isinstance(cue, Mapping) and cue.get("name") == CAUTION:
                return CautionEnded(said=kind == "said")
    return None
