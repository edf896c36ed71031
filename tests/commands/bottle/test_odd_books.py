"""Books that hands edited: whatever a line holds, the bottle is shown, and as JSON too."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from darkroom.commands.bottle.account_text import account_json, account_lines, care_json
from darkroom.commands.bottle.rows import rows
from darkroom.resources import checked_recipes
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import fold
from darkroom.solutions.bottle_account import account
from darkroom.solutions.care import due_of
from darkroom.solutions.events import BottleEntry
from darkroom.solutions.uses import Use
from darkroom.solutions.warnings import warnings
from tests.kit.bottles import entry, made
from tests.kit.command_line import Capture, run

RECIPES, _ = checked_recipes(Path("no home"))
NUMBERS = st.one_of(st.none(), st.floats(allow_nan=False, allow_infinity=False), st.floats(-5, 120))
WORDS = st.one_of(
    st.sampled_from([*ev.WHATS, *ev.TREATMENTS, *ev.MEASURES, *RECIPES, ""]), st.text(max_size=12)
)
INSTANTS = st.one_of(st.floats(0, 1e7), st.floats(-6e10, 2e11))


@st.composite
def lines(draw: st.DrawFn) -> list[BottleEntry]:
    """Draw lines that can be decoded, with any values in them."""
    number, word = lambda: draw(NUMBERS), lambda: draw(WORDS)
    found = [
        made(instant=draw(INSTANTS), name=word(), what=word(), recipe=word(), batch=word(), volume=number(),
             strength=number(), ripens=number(), from_=(word(),))
    ]  # fmt: skip
    for n in range(2, 2 + draw(st.integers(0, 8))):
        value = draw(st.floats(allow_nan=False, allow_infinity=False))
        kinds: list[tuple[Any, dict[str, Any]]] = [
            (ev.Opened, {}),
            (ev.Treated, {"how": word(), "amount": word()}),
            (ev.ToppedUp, {"grams": number(), "water": number(), "stock": number(), "from_": word(),
                           "stock_strength": number(), "volume": number(), "strength": number()}),
            (ev.Measured, {"what": word(), "value": value, "celsius": number(), "strength": number()}),
            (ev.DrawnOff, {"volume": number(), "to": word()}),
            (ev.Postponed, {"care": word(), "until": word()}),
            (ev.Withdrawn, {"corrects": word()}),
            (ev.Note, {"text": word()}),
        ]  # fmt: skip
        kind, members = draw(st.sampled_from(kinds))
        found.append(entry(kind, n=n, instant=draw(INSTANTS), **members))
    return found


@given(lines(), st.lists(st.tuples(INSTANTS, st.one_of(st.none(), st.floats(0, 1e5))), max_size=5), INSTANTS)
def test_any_line_can_be_shown(
    drawn: list[BottleEntry], plates: list[tuple[float, float | None]], now: float
) -> None:
    """The account, its lines, the row and the JSON come of any values; a strength lies within its bounds."""
    bottle = fold("b1", drawn)
    assert bottle is not None
    uses = [
        Use(plate=str(number), number=number, bottle="b1", role="bath", stage="x", instant=instant, area=area)
        for number, (instant, area) in enumerate(plates)
    ]
    told = account(bottle, RECIPES, uses, now)
    dues = due_of(bottle, RECIPES, uses, now)
    text = [*account_lines(bottle, told, dues, {}), *rows([bottle], {"b1": told}, dues, every=True)]
    assert all(line.isprintable() for line in text)
    json.dumps([account_json(bottle, told), *map(care_json, dues)], allow_nan=False)
    strength = told.strength
    assert strength is None or 0 <= strength.low <= strength.percent_wv <= strength.high
    assert told.age >= 0 and (bottle.volume is None or bottle.volume >= 0)
    for one in drawn:
        warnings(bottle, one.event, now, others=[bottle], strength=strength)  # type: ignore[arg-type]


def test_a_book_that_cannot_be_read_is_not_called_empty(home: Path, capsys: Capture) -> None:
    """Where the folder is a file the trouble is said, and not that no bottle is in the book."""
    (home / "bottles").write_text("x")
    status, out, err = run(capsys, "bottle", "list")
    assert status == 0 and out == "" and "cannot be read" in err
