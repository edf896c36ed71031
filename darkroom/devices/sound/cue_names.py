"""The cues by name: which yields to which, how long each may wait, which file holds it."""

from __future__ import annotations

from darkroom.late_patterns import late_pattern

RATE = 44100
"""Frames a second of everything we make and play."""

RANK = {
    "not_saved": 95, "past_wet": 90, "end": 85, "back_now": 80, "start": 75, "step": 70, "pip": 60,
    "refused": 50, "accepted": 45, "overrun": 40, "wet_warning": 35, "safelight": 30,
    "room_light": 25, "saved_again": 20,
}  # fmt: skip
"""Where two cues would overlap the higher rank sounds. An answer to a key outranks the overrun call,
which comes again by itself."""

CUES = tuple(sorted(RANK))
CAUTION = "caution"
WORDS_ALONE = ("say", "repeat", CAUTION)
"""What has words and no sound of its own: said at once, left out while anything else is said, or said in the
next long enough gap."""
ESSENTIAL = ("end", "overrun", "past_wet", "refused")
"""The cues that are not silenced without a warning."""
URGENCIES = (1, 2, 3)

WAIT = {"pip": 0.06, "accepted": 0.4, "refused": 0.4, "step": 0.2, "start": 0.2}
"""How long a cue may wait for another to finish before it is dropped, in seconds."""
LATEST = 0.5
"""A cue later than this says nothing true any more, in seconds."""

DRIVERS = ("miniaudio", "simpleaudio", "system", "bell", "none")
"""In the order in which they are tried."""


_WORD = late_pattern(r"[^\W_]+")


def slug(name: str) -> str:
    """Return the file stem of a cue or of words: "wet_warning" and "Wet warning!" are both wet-warning.

    Signs are left out, so a name that people typed never leads out of the folder.
    """
    return "-".join(_WORD.findall(name.replace("'", "").replace("’", ""))).lower()


def cue_file(name: str, urgency: int = 0) -> str:
    """Return the file stem of a cue; only the overrun call has one for each urgency."""
    if name == "overrun":
        return f"overrun-{min(max(urgency, URGENCIES[0]), URGENCIES[-1])}"
    return slug(name)


def cue_files() -> list[str]:
    """Return the file stems of every cue there is."""
    plain = [slug(name) for name in CUES if name != "overrun"]
    return sorted([*plain, *(f"overrun-{urgency}" for urgency in URGENCIES)])
