"""The list of bottles and one bottle's page as rows: what is said where, at any size, of any bottle."""

from __future__ import annotations

import re
from typing import Any

import pytest

from darkroom.event_base import Newer
from darkroom.screens.bottles import bottle_rows, list_rows
from darkroom.screens.bottles.asking import Known
from darkroom.screens.widgets.rows import Row, fill, width
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import Bottle
from darkroom.solutions.bottle_account import account
from darkroom.solutions.bottle_words import age_text
from darkroom.solutions.events import BottleEntry
from darkroom.solutions.joining import NotKnown
from tests.kit import bottle_lives as kit
from tests.kit.bottles import entry, made

NOW = kit.MADE + 70 * kit.DAY
ABSURD = [
    "B-1",
    "x" * 300,
    "銀浴ボトル一号" * 9,
    "a\x1b[31mred\x00\n\ttab",
    "\u202eturned",
    "e\u0301" * 40,
    "🧪🧪🧪",
    " ",
]


def texts(rows: list[Row]) -> list[str]:
    """Return rows as plain text."""
    return ["".join(text for text, _ in row) for row in rows]


def page(bottle: Bottle, columns: int = 80, **members: Any) -> list[Row]:
    """Return a bottle's page; nothing used it and nothing is due unless `members` say so."""
    usual: dict[str, Any] = {"uses": (), "dues": (), "unknown": (), "names": {}, **members}
    told = account(bottle, {}, usual["uses"], NOW)
    return bottle_rows.page(bottle, told, now=NOW, zone=kit.ZONE, columns=columns, **usual)


def text_of(bottle: Bottle, columns: int = 80, **members: Any) -> str:
    """Return a bottle's page as text."""
    return "\n".join(row.rstrip() for row in texts(page(bottle, columns, **members)))


def line(bottle: Bottle, columns: int = 80, *, dues: Any = (), uses: Any = ()) -> str:
    """Return a bottle's row of the list as text."""
    row = list_rows.line(bottle, account(bottle, {}, uses, NOW), dues, NOW, columns, False)
    return "".join(text for text, _ in row)


# --- the list ---------------------------------------------------------------------------------------


def test_bottles_in_use_come_first_and_discarded_ones_when_they_are_wanted() -> None:
    """In use, ripening, set aside, discarded, each under its heading with how many there are."""
    bottles = {
        "new": kit.bottle("new", [made(instant=NOW - kit.DAY, name="C-9", what="collodion", ripens=7.0)]),
        "gone": kit.bottle("gone", kit.lines([(3, ev.Discarded, {})], name="B-0")),
        "aside": kit.bottle("aside", kit.lines([(3, ev.SetAside, {})], name="B-2")),
        "used": kit.bottle("used"),
        "dev": kit.bottle("dev", kit.lines((), name="D-4", what="developer")),
        "col": kit.bottle("col", kit.lines((), name="C-8", what="collodion")),
    }

    def names(discarded: bool) -> list[str]:
        rows = list_rows.listed(bottles, NOW, discarded=discarded)
        return [row if isinstance(row, str) else row.name for row in rows]

    shown = ["in use  3", "C-8", "B-1", "D-4", "ripening  1", "C-9", "set aside  1", "B-2"]
    assert names(False) == shown
    assert names(True) == [*shown, "discarded  1", "B-0"]


def test_a_row_says_name_content_age_plates_strength_and_what_is_due() -> None:
    """Plates of unknown size are told in words: in a wide row, or below the list of a narrow screen."""
    uses = kit.uses(38)
    short = line(kit.bottle(), 80, uses=uses, dues=(kit.due(),))
    assert " ".join(short.split()) == "B-1 bath 70 days 38 ≥8.1 % Filter the bath"
    wide = line(kit.bottle(), 120, uses=uses, dues=(kit.due(),))
    assert "38 plates, 7 of unknown size" in wide and "Filter the bath" in wide
    assert re.search(r"≥8\.1 \(\d\.\d to \d\.\d\) %", wide)


def test_what_is_due_is_loud_and_what_comes_is_not() -> None:
    """A care of today is loud; the next one of the calendar says in how many days."""
    bottle = kit.bottle()
    told = account(bottle, {}, (), NOW)
    now = list_rows.line(bottle, told, (kit.due(),), NOW, 80, False)
    assert now[-1][1] == "loud"
    later = kit.due(now=False, due=NOW + 3 * kit.DAY)
    coming = list_rows.line(bottle, told, (later,), NOW, 140, False)
    assert coming[-1][1] == "quiet" and "in 3 days: Filter the bath" in coming[-1][0]


def test_an_age_before_now_has_a_sign() -> None:
    """A bottle that was made after now shows that a clock went back."""
    assert "−2 days" in line(kit.bottle(entries=[made(instant=NOW + 2 * kit.DAY)]))


@pytest.mark.parametrize("columns", [12, 30, 45, 63, 64, 80, 111, 112, 120, 200])
@pytest.mark.parametrize("name", ABSURD)
def test_every_row_of_the_list_is_as_wide_as_the_others(columns: int, name: str) -> None:
    """Names that are long, wide, turned or no text at all move no column and show no control character."""
    bottle = kit.bottle(entries=kit.lines((), name=name, batch=name, recipe=name))
    dues = (kit.due(name, basis=name),)
    shown = line(bottle, columns, dues=dues, uses=kit.uses(100_000 if columns == 80 else 12))
    assert width(shown) == width(texts([list_rows.heads(columns)])[0])
    assert shown.isprintable() and "\u202e" not in shown
    details = texts(list_rows.details(bottle, account(bottle, {}, kit.uses(12), NOW), dues, NOW, columns))
    assert len(details) <= list_rows.DETAILS
    assert all(width(row) <= columns and row.isprintable() for row in details)


@pytest.mark.parametrize("age", [12 * 60, 119 * 60, 47 * 3600, 89 * kit.DAY, 700 * kit.DAY])
def test_an_age_stands_whole_in_the_list(age: float) -> None:
    """Minutes, hours, days and months have room at 80 columns, and so has the number of the plates."""
    bottle = kit.bottle(entries=[made(instant=NOW - age)])
    shown = line(bottle, 80, uses=kit.uses(60))
    assert age_text(age) in shown and " 60 " in shown and "?" not in shown


# --- one bottle ---------------------------------------------------------------------------------------


def test_the_page_says_what_the_bottle_is_and_what_it_did() -> None:
    """Content, state, age, volume, strength, plates with their area, and those since it was filtered."""
    text = text_of(kit.bottle(batch="12"), uses=kit.uses(), dues=(kit.due(),))
    for said in (
        "content    bath, recipe silver-bath, batch 12",
        "state      in use",
        "made       28 May 2026, 70 days ago",
        "holds      1 L",
        "strength   at least 8.1 % w/v (",
        "hydrometer of 22 Jul 2026: at least 8.1 % w/v, for a used bath",
        "60 plates, 12 of unknown size, 14,400 cm² (40 whole plates)",
        "since      filtered 17 Jul 2026:",
        "due        Filter the bath",
        "31 plates since filtered 17 Jul 2026; its recipe: after 25",
    ):
        assert said in text


def test_a_care_says_its_test_before_anything_is_added() -> None:
    """What is due now comes with its test and its cautions; what is not due, without."""
    due = kit.due("Top up", test="Measure first.", cautions=("Silver nitrate stains and blinds.",))
    text = text_of(kit.bottle(), dues=(due,))
    assert "first: Measure first." in text and "Silver nitrate stains and blinds." in text
    later = kit.due("Top up", now=False, due=None, test="Measure first.", basis="8.4 %")
    text = text_of(kit.bottle(), dues=(later,))
    assert "later      Top up" in text and "Measure first." not in text
    put_off = kit.due(now=False, postponed=NOW + kit.DAY, basis="put off until 7 Aug 2026")
    assert "put off    Filter the bath" in text_of(kit.bottle(), dues=(put_off,))


def test_lines_stand_newest_first_and_withdrawn_ones_are_marked() -> None:
    """Each with when, what and its place; one that does not count says so and keeps its place in time."""
    entries = [
        *kit.lines(),
        entry(ev.Withdrawn, n=30, instant=NOW, corrects="a:5", reason="the wrong bottle"),
    ]
    text = text_of(kit.bottle(entries=entries))
    lines = text.split("Its lines, the newest first\n")[1].splitlines()
    assert lines[0].startswith("6 Aug 2026 20:26  withdrawn: filtered (the wrong bottle)") and lines[
        0
    ].endswith("a:30")
    assert lines[-1].startswith("28 May 2026 20:26 made: bath B-1")
    marked = next(row for row in lines if "does not count" in row)
    assert marked.startswith("17 Jun 2026 20:26 does not count: filtered") and marked.endswith("a:5")


def test_a_bottle_of_a_newer_darkroom_is_shown_as_far_as_it_is_understood() -> None:
    """The line that is not known stands among the others, and what does not fit is said."""
    newer = Newer(n=9, at="2026-07-01T10:00:00.000+02:00", up=None, event="frozen", members={"celsius": -20})
    strange = BottleEntry(
        place="a:9", bench="a", instant=kit.MADE + 30 * kit.DAY, happened=newer.at, event=newer
    )
    text = text_of(kit.bottle(entries=[*kit.lines(()), strange]))
    assert "1 Jul 2026 10:00  from a newer darkroom: frozen" in text
    assert "What does not fit together" in text


def test_plates_whose_bottle_is_not_known_are_named_and_the_rest_counted() -> None:
    """The newest five with their reason, and how many more."""
    unknown = [
        NotKnown(plate=f"p{n}", number=n, role="bath", name="B-1", why="two bottles of that name were in use")
        for n in range(1, 13)
    ]
    text = text_of(kit.bottle(), unknown=unknown)
    assert "plate 12   bath B-1: two bottles of that name were in use" in text and "and 7 more" in text
    assert "plate 7 " not in text


@pytest.mark.parametrize("columns", [30, 45, 80, 120, 200])
@pytest.mark.parametrize("name", ABSURD)
def test_no_row_of_the_page_is_longer_than_the_screen(columns: int, name: str) -> None:
    """Whatever a name, a note, an amount or a reason holds: nothing sticks out, nothing steers a terminal."""
    happened: list[tuple[float, Any, dict[str, Any]]] = [
        (1, ev.Note, {"text": name}),
        (2, ev.Treated, {"how": name, "amount": name}),
        (3, ev.Measured, {"what": name, "value": 1e300, "celsius": -1e9, "strength": -5e7, "reason": name}),
        (4, ev.Postponed, {"care": name, "until": name}),
        (5, ev.DrawnOff, {"volume": 1e12, "to": name}),
    ]
    start = {"name": name, "recipe": name, "batch": name, "what": "bath", "from_": (name,), "volume": -1e9}
    bottle = kit.bottle(entries=kit.lines(happened, **start))
    rows = page(bottle, columns, uses=kit.uses(), dues=(kit.due(name, basis=name, now=False, due=-1e11),))
    assert max(width(text) for text in texts(rows)) <= columns
    assert all(text.isprintable() and "\u202e" not in text for text in texts(rows))
    assert all(width("".join(t for t, _ in fill(row, columns))) == columns for row in rows)


def test_a_bottle_with_8000_lines_has_them_all() -> None:
    """Every line is on the page."""
    happened = [(1 + n / 200, ev.Treated, {"how": "filtered"}) for n in range(8000)]
    text = text_of(kit.bottle(entries=kit.lines(happened)))
    assert text.count(" filtered") >= 8000 and "8,000 times" in text


def test_a_name_is_the_same_with_a_space_or_a_hyphen() -> None:
    """A plate that names "b 1" is one of the unknown plates of B-1, as for the commands."""
    bottle = kit.bottle()
    unknown = tuple(
        NotKnown(plate=f"p{n}", number=n, role="bath", name=name, why="two of that name")
        for n, name in enumerate(("b 1", "B-1", "B-2"))
    )
    known = Known(
        bottles={bottle.id: bottle}, accounts={}, uses={}, dues=(), unknown=unknown, recipes={}, problems=(),
        now=0.0,
    )  # fmt: skip
    assert [one.name for one in known.unknown_of(bottle)] == ["b 1", "B-1"]
