"""What the home form offers of the photographer's kit."""

from __future__ import annotations

from pathlib import Path

from darkroom.exposure.kit import Camera, Kit, Lens, NamedLight, Place, PlateSize, Stop
from darkroom.process.scene import LIGHT_KINDS
from darkroom.screens.home.plate_fields import left_fields, right_fields
from darkroom.screens.home.screen import HomeScreen
from darkroom.screens.kit_options import FIELDS, OFFERED, kit_names, offer_kit
from darkroom.screens.widgets.form import Field, Form
from darkroom.session.plate_form import PlateForm
from tests.kit.day import go_through_sheet
from tests.kit.review_hand import Looker, looking

STOPS = (Stop(name="no. 1", f_number=4.0), Stop(name="no. 2", f_number=8.0))
KIT = Kit(
    lenses=(Lens(name="brass lens", focal=210.0, stops=STOPS), Lens(name="long lens")),
    cameras=(Camera(name="box"),),
    lights=(NamedLight(name="north window", kind="window"), NamedLight(name="sun", kind="sun", ev=14.0)),
    places=(Place(name="garden", latitude=52.0, longitude=5.0, zone="UTC"),),
    plates=(PlateSize(name="quarter plate", width=83.0, height=108.0),),
)


def form_of(**texts: str) -> Form:
    """Return the home form with these texts."""
    form = PlateForm(**texts)  # type: ignore[arg-type]
    return Form([*left_fields(form, ["tintype"]), *right_fields(form, False)])


def test_every_field_of_a_name_offers_the_kit() -> None:
    """Lens, camera, light, place and plate size offer their names, a light the plain kinds too, each once."""
    form = form_of()
    offer_kit(form.fields, KIT)
    assert form.at("lens").options == ("", "brass lens", "long lens")
    assert form.at("camera").options == ("", "box")
    assert form.at("place").options == ("", "garden")
    assert form.at("size").options == ("", "quarter plate")
    assert form.at("light").options[:4] == ("", "north window", "sun", "cloud")
    assert form.at("light").options.count("sun") == 1
    assert form.at("aperture").options == ()
    assert {field.hint for field in form.fields if field.options and field.id in FIELDS} == {OFFERED}


def test_the_stops_are_those_of_the_lens() -> None:
    """The aperture offers the stops of the lens in the form, and nothing for a lens without stops."""
    assert kit_names("aperture", KIT, "Brass Lens") == ("no. 1", "no. 2")
    assert kit_names("aperture", KIT, "long lens") == kit_names("aperture", KIT, "another") == ()


def test_a_stop_says_its_f_number() -> None:
    """The field tells as which f-number the stop in it is read, also one that is told by its diameter."""
    lens = Lens(
        name="brass",
        focal=210.0,
        stops=(Stop(name="no. 1", f_number=26.0), Stop(name="no. 2", diameter=26.0)),
    )
    for stop, said in (("no. 1", "no. 1 is f/26. "), ("No. 2", "No. 2 is f/8.08. "), ("no. 3", ""), ("", "")):
        form = form_of(lens="brass", aperture=stop)
        offer_kit(form.fields, Kit(lenses=(lens,)))
        assert form.at("aperture").hint == said + OFFERED


def test_a_typed_name_stays_among_what_is_offered() -> None:
    """Right and left go through the kit and back to the name that was typed."""
    form = form_of(lens="an old lens")
    form.go_to(form.fields.index(form.at("lens")))
    seen = []
    for _ in range(4):
        offer_kit(form.fields, KIT)
        form.key("right", None)
        seen.append(form.at("lens").value)
    assert seen == ["", "brass lens", "long lens", "an old lens"]


def test_without_a_kit_the_plain_kinds_of_light_are_offered() -> None:
    """An empty kit leaves every other field, and each hint, as it is."""
    form = form_of()
    hints = [field.hint for field in form.fields]
    offer_kit(form.fields, Kit())
    assert [field.id for field in form.fields if field.options and field.id in FIELDS] == ["light"]
    assert form.at("light").options == ("", *LIGHT_KINDS)
    assert [field.hint for field in form.fields] == hints


def test_a_kit_that_changed_offers_its_new_names() -> None:
    """The names of the file as it is now, also where nothing was typed."""
    form = form_of()
    offer_kit(form.fields, KIT)
    offer_kit(form.fields, Kit(lenses=(Lens(name="new lens"),)))
    assert form.at("lens").options == ("", "new lens")
    assert form.at("camera").options == ()


def test_other_fields_are_left_alone() -> None:
    """What a field offers that holds no name of the kit is not touched."""
    field = Field("humidity", "air humidity, %", options=("", "damp"))
    offer_kit([field], KIT)
    assert field.options == ("", "damp")


def test_the_kit_is_offered_on_the_home_screen(home: Path) -> None:
    """A name of the kit is one press of right away, and its stops follow; a mistake is said beside it."""
    home.mkdir(parents=True, exist_ok=True)
    (home / "kit.yaml").write_text(
        "lenses:\n  - {name: brass lens, stops: {no. 1: f/4}}\ncameras:\n  - {name: box, lens: none}\n"
    )

    async def steps(hand: Looker) -> None:
        screen = HomeScreen(PlateForm(process="tintype"))
        await hand.tool.push_screen(screen)
        await hand.until(lambda: bool(screen.form.at("lens").options))
        for name in ("lens", "aperture"):
            screen.form.go_to(screen.form.fields.index(screen.form.at(name)))
            await hand.press("right")
        assert (screen.values["lens"], screen.values["aperture"]) == ("brass lens", "no. 1")
        assert screen.form.at("camera").options == ()
        told = "kit.yaml:4: the first camera (box), lens: unknown key 'lens' (left out)"
        assert told in (hand.tool.services.notices.text or "")

    looking(home, steps, text=None)


def test_a_name_that_is_nearly_known_is_told_beside_the_form(home: Path) -> None:
    """At its field and below the form when the hand went on; the plate goes to the bench all the same."""
    home.mkdir(parents=True, exist_ok=True)
    (home / "kit.yaml").write_text(
        "lights: [{name: north window, kind: window}]\n"
        "places: [{name: garden, latitude: 52, longitude: 5, time_zone: Europe/Amsterdam}]\n"
    )
    told = "no place of kit.yaml is called gardn: did you mean 'garden'?"

    async def steps(hand: Looker) -> None:
        go_through_sheet(home, hand.tool.services.bench_id)
        screen = HomeScreen(PlateForm(process="tintype", light="north windw", place="gardn"))
        await hand.tool.push_screen(screen)
        await hand.wait("no light is called north windw yet: did you mean 'north window'?")
        screen.form.go_to(screen.form.fields.index(screen.form.at("place")))
        screen.draw()
        await hand.wait(told)
        await hand.press("backspace")
        assert told not in hand.text()
        assert "no place of kit.yaml" not in hand.text()
        await hand.press("enter")
        await hand.until(lambda: bool(hand.tool.session.bench.on_bench))

    looking(home, steps, text=None)
