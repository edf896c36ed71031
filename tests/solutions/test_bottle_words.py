"""What the book of bottles says in words."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest

from darkroom.event_base import Newer
from darkroom.solutions import bottle_words as words
from darkroom.solutions import events as ev
from darkroom.solutions.uses import Tally
from tests.kit.bottles import entry, made


def line(kind: Any, **members: Any) -> ev.BottleEvent:
    """Return an event of this kind."""
    event = entry(kind, n=1, **members).event
    assert not isinstance(event, Newer)
    return event


@pytest.mark.parametrize(
    ("kind", "members", "expected"),
    [
        (ev.Opened, {}, "opened"),
        (ev.Treated, {"how": "filtered"}, "filtered"),
        (ev.Treated, {"how": "boiled_down"}, "boiled down"),
        (ev.Treated, {"how": "acid", "amount": "3 drops"}, "acid added, 3 drops"),
        (ev.ToppedUp, {}, "topped up"),
        (
            ev.ToppedUp,
            {"grams": 14.8, "water": 57.4, "strength": 9.0, "volume": 1000.0},
            "topped up: 14.8 g, 57 mL of water, to 9 % w/v, holds 1 L",
        ),
        (
            ev.ToppedUp,
            {"stock": 90.9, "stock_strength": 20.0, "from_": "b9"},
            "topped up: 91 mL of stock of 20 %, from B-9",
        ),
        (
            ev.Measured,
            {"what": "density", "value": 1.072, "celsius": 24.0, "strength": 9.02},
            "density 1.072 g/mL at 24 °C: 9 % w/v",
        ),
        (ev.Measured, {"what": "baume", "value": 9.7}, "Baumé 9.7°"),
        (ev.Measured, {"what": "volume", "value": 940.0}, "volume 940 mL"),
        (ev.Measured, {"what": "assay", "value": 8.64, "strength": 8.64}, "assay 8.64 % w/v"),
        (ev.DrawnOff, {}, "drawn off: some"),
        (ev.DrawnOff, {"volume": 1500.0, "to": "b9"}, "drawn off: 1.5 L into B-9"),
        (ev.SetAside, {"reason": "to settle"}, "set aside (to settle)"),
        (ev.TakenUp, {}, "taken up again"),
        (ev.Discarded, {}, "discarded"),
        (
            ev.Postponed,
            {"care": "filter", "until": "2026-06-01T12:00:00.000+02:00"},
            "put off until 1 Jun 2026: filter",
        ),
        (ev.Withdrawn, {"corrects": "a:3", "reason": "slip"}, "withdrawn: a:3 (slip)"),
        (ev.RecipeNamed, {"recipe": "silver-bath"}, "recipe named: silver-bath"),
        (ev.Note, {"text": "smells of ether"}, "note: smells of ether"),
    ],
)
def test_each_line_has_words(kind: Any, members: dict[str, Any], expected: str) -> None:
    """Numbers with their units, other bottles by their names, reasons at the end."""
    assert words.happened(line(kind, **members), {"b9": "B-9"}) == expected


def test_the_making_says_all_that_went_in() -> None:
    """What, name, recipe, volume, strength, batch and the bottles it came from; unknown ones by their id."""
    event = made(recipe="silver-bath", volume=1000.0, strength=9.0, batch="12", from_=("b9", "b8")).event
    assert words.happened(event, {"b9": "B-9"}) == (
        "made: bath B-1, recipe silver-bath, 1 L, 9 % w/v, batch 12, from B-9, b8"
    )


def test_a_line_of_a_newer_darkroom_is_named() -> None:
    """A line that this version does not know is told by its event."""
    newer = Newer(n=1, at="2026-01-01T00:00:00+00:00", up=None, event="frozen", members={})
    assert words.happened(newer) == "from a newer darkroom: frozen"


def test_every_kind_of_line_and_every_scale_has_words() -> None:
    """No event of the book and no measure of it is left without words."""
    assert set(words.SCALES) == set(ev.MEASURES)
    assert {*words.TREATED} <= set(ev.TREATMENTS)
    required = {str: "density", float: 1.0, int: 1}
    for kind in ev.BottleEvent.__args__:
        members = {
            field.name: required[field.type]
            for field in msgspec.structs.fields(kind)
            if field.required and field.name not in ("n", "at", "up")
        }
        assert words.happened(line(kind, **members))


@pytest.mark.parametrize(
    ("seconds", "expected"),
    [
        (0.0, "0 minutes"),
        (90.0, "1 minute"),
        (7200.0, "2 hours"),
        (2 * 86400.0, "2 days"),
        (89.9 * 86400, "89 days"),
        (200 * 86400.0, "6 months"),
        (730 * 86400.0, "23 months"),
        (731 * 86400.0, "2 years"),
        (1200 * 86400.0, "3 years"),
        (-3 * 86400.0, "3 days"),
    ],
)
def test_an_age_has_one_unit(seconds: float, expected: str) -> None:
    """The largest unit that still says enough; before or after is the caller's word."""
    assert words.age_text(seconds) == expected


def test_plates_of_unknown_size_are_named() -> None:
    """They count as plates and are told apart."""
    assert words.plates_text(Tally(plates=38, area=1.0, of_unknown_size=8)) == "38 plates, 8 of unknown size"
    assert words.plates_text(Tally(plates=1)) == "1 plate"


@pytest.mark.parametrize(
    ("millilitres", "expected"),
    [(0.0, "0 mL"), (2.5, "2.5 mL"), (940.4, "940 mL"), (1000.0, "1 L"), (1001.8, "1 L"), (1250.0, "1.25 L")],
)
def test_a_volume_is_in_its_usual_unit(millilitres: float, expected: str) -> None:
    """Millilitres, and litres from one litre on."""
    assert words.volume_text(millilitres) == expected


def test_a_withdrawal_says_what_it_takes_back() -> None:
    """What was withdrawn is named in words; what is given back counts again; a circle ends."""
    acid = line(ev.Treated, how="acid", amount="1 drop")
    lines: dict[str, ev.BottleEvent | Newer] = {
        "b:2": acid,
        "b:3": line(ev.Withdrawn, corrects="b:2", reason="the other bath"),
        "b:4": line(ev.Withdrawn, corrects="b:3"),
        "b:5": line(ev.Withdrawn, corrects="b:6"),
        "b:6": line(ev.Withdrawn, corrects="b:5"),
        "b:7": line(ev.Withdrawn, corrects="c:9"),
    }
    said = [words.line_words(event, lines) for event in lines.values()]
    assert said == [
        "acid added, 1 drop",
        "withdrawn: acid added, 1 drop (the other bath)",
        "counts again: acid added, 1 drop",
        "withdrawn: b:6",
        "withdrawn: b:5",
        "withdrawn: c:9",
    ]
