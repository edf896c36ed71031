"""What was measured in a bottle, and the strength that it comes to."""

from __future__ import annotations

import pytest

from darkroom.errors import BeyondTable, DarkroomError, QuantityError
from darkroom.solutions.events import MEASURES
from darkroom.solutions.measuring import measurement


def test_a_density_is_read_at_its_temperature() -> None:
    """1.072 g/mL at 24 °C is 9.02 % w/v of silver nitrate: the worked example of the specification."""
    found = measurement("density", 1.072, 24.0, "silver-nitrate")
    assert found.members["strength"] == pytest.approx(9.02, abs=0.005)
    assert found.members["celsius"] == 24.0 and found.members["value"] == 1.072
    assert "read at 24 °C" in found.took


def test_another_scale_is_another_strength() -> None:
    """9 % taken as SG 60/60 °F for a density shifts it by about 0.23 % w/v, as the specification has it."""
    density = measurement("density", 1.072, 20.0, "silver-nitrate").members["strength"]
    gravity = measurement("sg_60f", 1.072, 20.0, "silver-nitrate").members["strength"]
    assert abs(density - gravity) == pytest.approx(0.23, abs=0.1)


def test_what_has_no_table_has_no_strength() -> None:
    """A varnish is measured all the same."""
    found = measurement("density", 0.9, 20.0, None)
    assert "strength" not in found.members and "no strength" in found.took[-1]


def test_an_assay_is_a_strength_and_others_are_not() -> None:
    """Silver weighed as chloride says the strength itself; pH and volume say none."""
    assert measurement("assay", 8.64).members == {"what": "assay", "value": 8.64, "strength": 8.64}
    assert "strength" not in measurement("ph", 4.5).members
    assert measurement("volume", 940.0).members == {"what": "volume", "value": 940.0}


@pytest.mark.parametrize("what", MEASURES)
@pytest.mark.parametrize("value", [-5.0, 1e9, float("nan"), float("inf")])
def test_a_value_that_nothing_shows_is_refused(what: str, value: float) -> None:
    """Negative, huge or no number at all: one sentence, on every scale."""
    with pytest.raises(DarkroomError):
        measurement(what, value, 20.0, "silver-nitrate")


def test_beyond_the_table_is_said() -> None:
    """A density that no silver bath of the table has, and a word that is no scale."""
    with pytest.raises(BeyondTable):
        measurement("density", 2.9, 20.0, "silver-nitrate")
    with pytest.raises(QuantityError, match="did you mean 'density'"):
        measurement("densty", 1.07)
