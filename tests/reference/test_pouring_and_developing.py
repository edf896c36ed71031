"""What the hand and the eye end, and how long a plate stays wet, against what is published."""

from __future__ import annotations

import pytest

from darkroom import resources
from darkroom.process import timing, wetness
from darkroom.process.model import Process, WetWindow
from darkroom.process.text.humidity import HUMIDITY_WORDS

PROCESSES = {path.stem: resources.read_process(path) for path in resources.shipped_processes()}
EACH = pytest.mark.parametrize("stem", sorted(PROCESSES))


def developed(process: Process, celsius: float = 20.0) -> float:
    """Return the seconds of the developer at a temperature."""
    seconds = timing.stage_seconds(process, process.index("develop"), celsius)
    assert seconds is not None
    return seconds


def window(stem: str) -> WetWindow:
    """Return how long a plate of a shipped process stays wet."""
    wet = PROCESSES[stem].wet_window
    assert wet is not None
    return wet


@EACH
def test_collodion_sets_in_the_time_of_the_old_account(stem: str) -> None:
    """15 s, "10 to 15 s according to temperature", lie in the usual range: T. Rodger (1850s)."""
    coat = PROCESSES[stem].stage("coat")
    for celsius in (18.0, 20.0, 22.0):
        usual = timing.expected(coat, celsius)
        assert usual is not None
        assert usual[0] <= 15.0 and usual[1] >= 15.0
    cold, warm = timing.expected(coat, 10.0), timing.expected(coat, 30.0)
    assert cold is not None and warm is not None
    assert cold[0] > warm[0] and cold[1] > warm[1]


@EACH
def test_the_developer_works_for_longer_than_the_image_takes_to_begin(stem: str) -> None:
    """The image begins to show in about 6 s: E. L. Wilson, Wilson's Photographics (1881), par. 150.

    The shipped time is at least twice that at 20 °C, so nobody is called before there is something to judge.
    """
    assert developed(PROCESSES[stem]) >= 2 * 6.0


@pytest.mark.parametrize("stem", [stem for stem in PROCESSES if stem.startswith("negative")])
def test_a_negative_is_called_within_the_published_range(stem: str) -> None:
    """45 to 90 s served equally well: Skladnikiewitz, Hertel and Schmidt (1998), second-hand."""
    assert 45.0 <= round(developed(PROCESSES[stem]), 6) <= 90.0


@pytest.mark.parametrize("stem", [stem for stem in PROCESSES if not stem.startswith("negative")])
def test_a_positive_takes_far_less_than_a_negative(stem: str) -> None:
    """About 15 s, "not a rule": common practice, no source."""
    assert developed(PROCESSES[stem]) == pytest.approx(15.0)
    assert 2 * developed(PROCESSES[stem]) < developed(PROCESSES["negative"])


@EACH
def test_the_wet_time_is_ten_minutes_indoors_and_twenty_in_cool_air(stem: str) -> None:
    """About 10 min: J. Paul Getty Museum, The wet collodion process (film).

    At least 20 min in cool weather, with a damp blotter behind the plate: Workshop Receipts, 4th series
    (Spon); 10 °C and 80 % stand for that weather here.
    """
    wet = window(stem)
    assert wetness.window_seconds(wet, 20.0, 50.0) == pytest.approx(600.0)
    assert wetness.window_seconds(wet, 10.0, 80.0) == 1200.0 == wet.longest


@EACH
def test_the_words_for_the_air_stand_in_their_order(stem: str) -> None:
    """From damp to very dry the wet time falls; ordinary air gives the ten minutes it is known for."""
    times = {word: wetness.window_seconds(window(stem), 20.0, air) for word, air in HUMIDITY_WORDS.items()}
    assert list(HUMIDITY_WORDS) == ["damp", "ordinary", "dry", "very dry"]
    assert times["ordinary"] == pytest.approx(600.0)
    assert times["damp"] > times["ordinary"] > times["dry"] > times["very dry"]


@EACH
def test_a_plate_is_washed_for_longer_than_the_least_that_is_published(stem: str) -> None:
    """A minute or longer when the shadows are clear: P. N. Hasluck (ed.), The Book of Photography (1905)."""
    process = PROCESSES[stem]
    seconds = timing.stage_seconds(process, process.index("wash"), 15.0)
    assert seconds is not None and seconds >= 60.0


@pytest.mark.parametrize("stem", [stem for stem in PROCESSES if stem.endswith("cyanide")])
def test_cyanide_is_left_when_the_yellow_has_gone(stem: str) -> None:
    """Drained when "every trace of yellow" has gone: S. D. Humphrey (1857), not twice the time as in hypo."""
    factor = PROCESSES[stem].stage("fix").clearing_factor
    assert factor is not None and 1.0 < factor <= 1.25
