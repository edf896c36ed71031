"""What the exposure page offers of the photographer's kit."""

from __future__ import annotations

from pathlib import Path

from darkroom.exposure.kit import Kit, Lens, PlateSize, Stop
from darkroom.screens.exposure.fields import all_fields
from darkroom.screens.exposure.screen import ExposureScreen
from darkroom.session.plate_form import PlateForm
from tests.kit.review_hand import Looker, looking

KIT = Kit(
    lenses=(Lens(name="brass lens", stops=(Stop(name="no. 1", f_number=4.0),)),),
    plates=(PlateSize(name="quarter plate", width=83.0, height=108.0),),
)


def test_the_picture_s_size_is_no_plate_size() -> None:
    """Lens and stops come from the kit; the size of the picture is a number and offers nothing."""
    fields = {field.id: field for field in all_fields(PlateForm(lens="Brass lens"), KIT, "plates", "")}
    assert fields["lens"].options == ("", "brass lens", "Brass lens")
    assert fields["aperture"].options == ("", "no. 1")
    assert fields["size"].options == ()


def test_the_stops_follow_the_lens(home: Path) -> None:
    """A lens that is chosen on the page brings its stops with it."""
    home.mkdir(parents=True, exist_ok=True)
    (home / "kit.yaml").write_text("lenses:\n  - {name: brass lens, stops: {no. 1: f/4}}\n")

    async def steps(hand: Looker) -> None:
        screen = ExposureScreen(PlateForm(process="tintype"))
        await hand.tool.push_screen(screen)
        await hand.until(lambda: bool(screen.form.at("lens").options))
        assert screen.form.at("aperture").options == ()
        screen.form.go_to(screen.form.fields.index(screen.form.at("lens")))
        await hand.press("right")
        assert screen.form.at("lens").value == "brass lens"
        assert screen.form.at("aperture").options == ("", "no. 1")

    looking(home, steps, text=None)
