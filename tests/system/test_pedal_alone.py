"""A foot switch alone in a real terminal: the form, the day's sheet, the strikes and the menu."""

from __future__ import annotations

from pathlib import Path

from tests.kit.day import TITLE
from tests.kit.photographer import Photographer


def test_one_pedal_makes_plates_and_never_confirms_cyanide(tmp_path: Path) -> None:
    """Mapped to F13, it puts plates on from form and menu and strikes them; a `confirm` it leaves open."""
    home = tmp_path / "home"
    home.mkdir()
    (home / "keys.yaml").write_text("go: [f13]\n")
    hand = Photographer(home, 80, 24)
    with hand.terminal:
        hand.open()
        hand.press("f13")
        hand.wait(TITLE)
        for ticked in (1, 2):
            hand.press("f13")
            hand.wait(f"{ticked} of ")
        hand.press("end")
        hand.wait("goes on")
        hand.press("f13")
        hand.wait("Press, then pour")
        hand.press("f13")
        hand.wait("take back")
        hand.press("escape")
        hand.wait("New plate like the last")
        hand.press("f13")
        hand.wait("Press, then pour")
    cyanide = Photographer(tmp_path / "other", 80, 24)
    cyanide.home.mkdir()
    (cyanide.home / "keys.yaml").write_text("go: [f13]\n")
    (cyanide.home / "bench.json").write_text('{"form": {"process": "tintype-cyanide"}}')
    with cyanide.terminal:
        cyanide.open()
        cyanide.press("f13")
        cyanide.wait(TITLE)
        cyanide.press("end")
        cyanide.wait("goes on")
        cyanide.press("f13")
        cyanide.wait("Yes, confirmed")
        cyanide.press("down")
        cyanide.press("f13")
        cyanide.wait("Go does not choose this: enter does.")
        cyanide.press("enter")
        cyanide.wait("Press, then pour")
