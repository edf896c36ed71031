"""What the page of a plate tells of its light, of what was proposed and of its own speed."""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom.process.scene import ProposedExposure
from darkroom.screens.log_plate.screen import page
from darkroom.screens.widgets.rows import width
from tests.kit.judged import SCENE, exposed_plate, record_of
from tests.kit.plates import SIZES, texts

PROPOSED = ProposedExposure(seconds=8.0, low=5.0, high=13.0, plates=12, from_="plates")


@pytest.mark.parametrize("columns", SIZES)
def test_the_page_tells_the_speed_beside_what_was_expected(tmp_path: Path, columns: int) -> None:
    """Proposal, what the plate wanted, its speed and its light stand with the plate, at every width."""
    hand = exposed_plate(scene=SCENE, proposed=PROPOSED, camera="field camera", holder="B")
    rows = texts(page(record_of(tmp_path, hand, {"exposure_stops": 0.5}), columns))
    assert max(map(width, rows)) <= columns
    text = " ".join(" ".join(rows).split())
    for words in (
        "proposed 8 s, between 5 s and 13 s, from 12 plates",
        "wanted about 11 s (9.5 s to 13 s): half a stop slower than expected, within the interval",
        "its speed about ISO 0.78 (0.66 to 0.93), as a daylight meter counts",
        "aperture f/5.6",
        "light north window (window), EV 9.5 by the meter",
        "light lost 1 stop: bellows 0.53, filter 0.5",
        "camera field camera",
        "holder B",
    ):
        assert words in text


def test_a_plate_that_is_not_learned_from_says_why(tmp_path: Path) -> None:
    """A judged plate that says nothing of the exposure is told with its reason, and has no speed."""
    hand = exposed_plate(scene=SCENE, waited=900.0)
    text = " ".join(" ".join(texts(page(record_of(tmp_path, hand, {"exposure_stops": 0.5}), 80))).split())
    assert "its speed not learned from: past wet" in text
    assert "wanted" not in text


def test_an_old_plate_has_nothing_new(tmp_path: Path) -> None:
    """A plate without a scene that nobody judged tells its words as they were typed, and no speed."""
    hand = exposed_plate(light="open shade", aperture="U.S. 16")
    text = " ".join(" ".join(texts(page(record_of(tmp_path, hand), 80))).split())
    assert "aperture U.S. 16" in text
    assert "light open shade" in text
    assert not [word for word in ("proposed", "its speed", "wanted", "light lost") if word in text]
