"""What the photographer may choose about sound, and what the screen must then say."""

from __future__ import annotations

import pytest

from darkroom.devices.sound.sound_settings import SoundSettings
from darkroom.errors import WrongUse


def test_the_usual_settings_need_no_warning() -> None:
    """Without a choice of one's own everything is called and nothing need be said."""
    assert SoundSettings().warnings() == []
    assert SoundSettings(volume=0.5, silent=frozenset({"pip", "say", "accepted"})).warnings() == []


def test_silencing_all_that_matters_is_said() -> None:
    """End, overrun, past wet and refused cannot all be silent without the screen saying so."""
    (warning,) = SoundSettings(silent=frozenset({"end", "overrun", "past_wet", "refused"})).warnings()
    assert "all silent" in warning


def test_silencing_one_that_matters_is_said() -> None:
    """One of the four is named when it is silent."""
    assert SoundSettings(silent=frozenset({"past_wet", "pip"})).warnings() == ["silent by setting: past wet"]


@pytest.mark.parametrize(
    ("settings", "phrase"),
    [
        (SoundSettings(volume=0.0), "the volume is 0"),
        (SoundSettings(driver="none"), "sound is off"),
        (SoundSettings(driver="bell"), "only the bell"),
    ],
)
def test_other_ways_to_silence_are_said(settings: SoundSettings, phrase: str) -> None:
    """No volume, no driver and the bell alone are said too."""
    (warning,) = settings.warnings()
    assert phrase in warning


@pytest.mark.parametrize(
    ("values", "phrase"),
    [
        ({"silent": frozenset({"overun"})}, "did you mean 'overrun'?"),
        ({"volume": 1.5}, "between 0 and 1"),
        ({"volume": float("nan")}, "between 0 and 1"),
        ({"driver": "minaudio"}, "did you mean 'miniaudio'?"),
        ({"driver": "xyz"}, "there are miniaudio, simpleaudio"),
    ],
)
def test_a_wrong_setting_is_refused(values: dict[str, object], phrase: str) -> None:
    """A wrong value is refused with the nearest right word."""
    with pytest.raises(WrongUse) as refused:
        SoundSettings(**values)  # type: ignore[arg-type]
    assert phrase in str(refused.value)
