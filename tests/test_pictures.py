"""The README's pictures show what the screens show now, in red and by day."""

from __future__ import annotations

import re

import pytest

from darkroom.screens.red.palette import DAY_STEPS
from darkroom.screens.red.terminal import STEPS
from tests.kit.documents import ROOT
from tests.kit.make_pictures import FOLDER, PICTURES, colours, made, path_of, texts

README = (ROOT / "README.md").read_text(encoding="utf-8")
LARGEST = 150_000
"""Bytes that a picture may have at most."""
REDS = {f"{red:02x}0000" for red in STEPS}


@pytest.mark.parametrize("day", [False, True], ids=["red", "day"])
@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_shows_what_the_screen_shows(name: str, day: bool) -> None:
    """Every text of the picture is that of the screen drawn now; else `python -m tests.kit.make_pictures`."""
    kept = path_of(name, day=day).read_text(encoding="utf-8")
    assert texts(made(name, day=day)) == texts(kept)
    assert len(texts(kept)) >= 5


@pytest.mark.parametrize("name", PICTURES)
def test_pictures_are_small_and_in_their_colours(name: str) -> None:
    """A picture is smaller than 150 kB; the red one has pure reds alone, the other those of the day."""
    for day, allowed in ((False, REDS), (True, {colour.lstrip("#") for colour in DAY_STEPS})):
        drawn = path_of(name, day=day).read_text(encoding="utf-8")
        assert len(drawn.encode()) < LARGEST
        assert {"000000"} < colours(drawn) <= allowed


def test_the_readme_shows_every_picture() -> None:
    """Each stands there once, with words for who cannot see it; no other picture lies in the folder."""
    shown = re.findall(r"!\[([^]]+)\]\(tests/pictures/([^)]+)\)", README)
    wanted = sorted(path_of(name, day=day).name for name in PICTURES for day in (False, True))
    assert wanted == sorted(name for _, name in shown) == sorted(path.name for path in FOLDER.iterdir())
    assert all(len(words) > 20 for words, _ in shown)


def test_a_changed_screen_is_noticed() -> None:
    """A picture whose text was changed by one sign is no longer that of its screen."""
    kept = path_of("exposure", day=False).read_text(encoding="utf-8")
    assert texts(kept.replace("my plates", "my plate")) != texts(kept)
