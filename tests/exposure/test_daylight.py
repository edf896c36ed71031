"""How bright each kind of light is expected to be, and the best hours of a day."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest

from darkroom.errors import WrongUse
from darkroom.exposure import actinic, daylight
from darkroom.exposure.light_kinds import LIGHT_KINDS
from darkroom.process.scene import SKIES

LONDON = ZoneInfo("Europe/London")
LACOCK = (51.4153, -2.1173)


def ev(
    kind: str, altitude: float | None = None, receiver: str | None = None, sky: str | None = None
) -> float:
    """Return the expected EV of a light that is known."""
    light = daylight.expected_ev(kind, altitude, receiver, sky)
    assert light is not None
    return light.ev


def test_every_sky_is_known() -> None:
    """Each word of the sky has its stops and its doubt, of half a stop to one."""
    assert tuple(daylight.SKY) == SKIES
    assert all(0.5 <= sky.doubt <= 1.0 for sky in daylight.SKY.values())
    assert [sky.lost for sky in daylight.SKY.values()] == [0, 0.5, 1, 3, 0]


def test_flat_ground_at_sixty_degrees_is_fifteen() -> None:
    """A clear sky on flat ground with the sun at 60° is EV 15 from the sun, half a stop in doubt."""
    light = daylight.expected_ev("sun", 60.0, "flat")
    assert light is not None
    assert (light.ev, light.ev_from, light.doubt) == (15.0, "sun", 0.5)
    assert light.says == "the sun at 60°, clear, the shadows sharp"


@pytest.mark.parametrize(
    ("sky", "less"), [("clear", 0), ("hazy", 0.5), ("light-cloud", 1), ("heavy-cloud", 3)]
)
def test_the_sky_takes_its_stops(sky: str, less: float) -> None:
    """Whatever faces the light loses to the sky what its word says, by day and near the evening."""
    for altitude in (5.0, 45.0):
        for receiver in ("scene", "flat", "facing", "away"):
            clear = actinic.stops(altitude, receiver)
            assert clear is not None
            assert daylight.light_stops(altitude, receiver, sky) == pytest.approx(clear + less)
            assert ev("sun", altitude, receiver, sky) == pytest.approx(15 - clear - less)


def test_a_sky_of_shade_is_the_tables_shade() -> None:
    """In the shade flat ground has the light of the sky alone, and an EV of the table in doubt by a stop."""
    assert daylight.light_stops(30.0, "flat", "shade") == actinic.stops(30.0, "flat", shade=True)
    light = daylight.expected_ev("sun", 30.0, "flat", "shade")
    assert light is not None
    assert light.doubt == 1.0


def test_an_overcast_day_has_light_cloud_unless_told() -> None:
    """Under cloud without a word of the sky it is light cloud on the whole scene; a word wins."""
    assert (
        ev("cloud", 45.0) == ev("cloud", 45.0, "scene", "light-cloud") == ev("sun", 45.0, None, "light-cloud")
    )
    assert ev("cloud", 45.0, None, "heavy-cloud") == pytest.approx(ev("cloud", 45.0) - 2)


@pytest.mark.parametrize("kind", ["sun", "cloud", "shade", "window", "tungsten", "led"])
def test_without_a_place_each_kind_is_as_usual(kind: str) -> None:
    """Where the sun's altitude is not known, a kind of light has its usual EV, in doubt by a stop."""
    light = daylight.expected_ev(kind)
    assert light is not None
    assert (light.ev, light.ev_from, light.doubt) == (LIGHT_KINDS[kind].usual_ev, "light", 1.0)


def test_what_nothing_is_known_of_has_no_ev() -> None:
    """Flash, a light that is no kind, and no light have no EV, at any altitude."""
    for kind in ("flash", "north window", "", None):
        assert daylight.expected_ev(kind) is None
        assert daylight.expected_ev(kind, 40.0) is None


def test_a_light_of_ones_own_has_its_own_usual_value() -> None:
    """What is usual of a light wins over what is usual of its kind, and moves with the day for a window."""
    own = daylight.expected_ev("window", None, usual_ev=7.5)
    assert own is not None
    assert (own.ev, own.ev_from) == (7.5, "light")
    moved = daylight.expected_ev("window", 10.0, usual_ev=7.5)
    assert moved is not None
    assert moved.ev - 7.5 == pytest.approx(ev("window", 10.0) - 9.0)
    arc = daylight.expected_ev(None, 40.0, usual_ev=8.0)
    assert arc is not None
    assert (arc.ev, arc.doubt) == (8.0, 1.0)


@pytest.mark.parametrize("kind", ["shade", "window"])
def test_shade_and_windows_follow_the_day(kind: str) -> None:
    """Shade and window are as usual with the sun at 40° and follow the table's shade from there."""
    assert ev(kind, 40.0) == pytest.approx(LIGHT_KINDS[kind].usual_ev)
    low, usual = actinic.stops(10.0, "flat", shade=True), actinic.stops(40.0, "flat", shade=True)
    assert low is not None
    assert usual is not None
    assert ev(kind, 10.0) == pytest.approx(ev(kind, 40.0) - (low - usual))
    light = daylight.expected_ev(kind, 10.0)
    assert light is not None
    assert (light.ev_from, light.doubt) == ("light", 1.0)


def test_clouds_brighten_the_shade_at_noon_and_darken_it_when_heavy() -> None:
    """White clouds send more light into the shade than a blue sky, heavy ones less."""
    assert ev("window", 60.0, None, "light-cloud") > ev("window", 60.0, None, "clear")
    assert ev("window", 60.0, None, "heavy-cloud") < ev("window", 60.0, None, "clear") - 1
    assert ev("window", 60.0, None, "hazy") == ev("window", 60.0, None, "clear")


def test_lamps_do_not_ask_for_the_sun() -> None:
    """Lamps are as bright at night as at noon."""
    for kind in ("tungsten", "led"):
        assert ev(kind, -20.0) == ev(kind, 60.0) == LIGHT_KINDS[kind].usual_ev


def test_with_the_sun_too_low_daylight_is_not_guessed() -> None:
    """Below 2° no kind of daylight has an EV: the usual one would be many stops wrong."""
    for kind in ("sun", "cloud", "shade", "window"):
        for altitude in (1.9, -0.5, -40.0):
            assert daylight.expected_ev(kind, altitude) is None


def test_an_unknown_sky_is_refused() -> None:
    """A word that names no sky is refused with the nearest right word, or with all of them."""
    with pytest.raises(WrongUse, match="did you mean 'heavy-cloud'"):
        daylight.expected_ev("sun", 30.0, None, "heavy cloud")
    with pytest.raises(WrongUse, match="there are clear, hazy"):
        daylight.light_stops(30.0, "flat", "xx")


def test_the_doubt_of_an_ev_follows_its_origin() -> None:
    """A meter's EV adds no doubt, the sun's that of the sky, a usual one a stop; strange skies are clear."""
    assert daylight.ev_doubt("meter") == daylight.ev_doubt("lux") == daylight.ev_doubt(None) == 0.0
    assert daylight.ev_doubt("sun") == daylight.ev_doubt("sun", "sandstorm") == 0.5
    assert daylight.ev_doubt("sun", "heavy-cloud") == 1.0
    assert daylight.ev_doubt("light") == 1.0


def test_a_cloud_without_a_sky_is_in_doubt_as_light_cloud_is() -> None:
    """Where no sky is told the doubt counted is that of the sky by which the light was reckoned."""
    for kind in ("sun", "cloud"):
        light = daylight.expected_ev(kind, 40.0)
        assert light is not None
        assert daylight.ev_doubt(light.ev_from, None, kind) == light.doubt
    assert daylight.ev_doubt("sun", None, "cloud") == 0.8
    assert daylight.ev_doubt("sun", "hazy", "cloud") == 0.7


def test_a_summer_day_has_its_best_hours_around_noon() -> None:
    """In June the whole scene is best around one by summer time, and within half a stop for seven hours."""
    found = daylight.day_of_light("sun", *LACOCK, date(2026, 6, 21), LONDON)
    assert found.best is not None
    assert abs(found.best.at - datetime(2026, 6, 21, 13, 10, tzinfo=LONDON)) <= timedelta(minutes=10)
    ((start, end),) = found.hours
    assert timedelta(hours=6) < end - start < timedelta(hours=8)
    assert start < found.best.at < end
    for instant in (start, end):
        (near,) = (point for point in found.points if abs(point.at - instant) <= timedelta(minutes=2.4))
        assert near.ev == pytest.approx((found.best.ev or 0) - 0.5, abs=0.05)


def test_in_the_tropics_a_sitter_has_two_best_spells() -> None:
    """Where the sun stands overhead at noon, who faces it has the best light before and after, not then."""
    found = daylight.day_of_light(
        "sun", -0.18, -78.47, date(2026, 3, 20), timezone(timedelta(hours=-5)), receiver="facing"
    )
    (first, second) = found.hours
    assert first[1] < datetime(2026, 3, 20, 12, tzinfo=timezone(timedelta(hours=-5))) < second[0]


def test_a_day_without_sun_has_no_best_hour() -> None:
    """In the polar night there is a curve of altitudes, no light, and no best hour; a lamp has all hours."""
    place, on = (69.65, 18.96), date(2026, 12, 21)
    found = daylight.day_of_light("sun", *place, on, UTC)
    assert (found.best, found.hours) == (None, ())
    assert len(found.points) == 289
    assert all(point.ev is None for point in found.points)
    lamp = daylight.day_of_light("tungsten", *place, on, UTC)
    assert lamp.hours == ((datetime(2026, 12, 21, tzinfo=UTC), datetime(2026, 12, 22, tzinfo=UTC)),)


def test_the_best_hours_of_a_day_on_which_clocks_change() -> None:
    """Instants are in the place's zone and in order on a day of 23 hours."""
    found = daylight.day_of_light("window", *LACOCK, date(2026, 3, 29), LONDON)
    ((start, end),) = found.hours
    assert start.tzinfo is LONDON
    assert found.points[0].at < start < end < found.points[-1].at
    assert len(found.points) == 23 * 12 + 1
