"""The file of the day's sheet: what it holds, which lines concern a process, and its mistakes."""

from __future__ import annotations

import pytest

from darkroom.errors import DayError
from darkroom.resources import load_process, profiles_dir, read_day_sheet, shipped_processes
from darkroom.session.day_sheet import concerning, parse, unseen

SHIPPED = read_day_sheet(profiles_dir() / "day" / "day.yaml")
SMALL = """\
before:
  - {id: goggles, text: Goggles on, reason: Silver blinds., holds: [silver]}
  - {id: fog-test, text: Fog test, reason: Lamps change., every: 7 days}
after:
  - {id: capped, text: Bottles capped, reason: Ether goes.}
"""


def test_the_shipped_sheet_has_what_the_trade_sees_to() -> None:
    """Each thing that is seen to before the first plate and after the last has a line of its own."""
    before, after = [item.id for item in SHIPPED.before], [item.id for item in SHIPPED.after]
    seen_to = "goggles gloves eyewash water flame-out holder safelight fog-test bottle-care"
    assert set(seen_to.split()) <= set(before)
    assert {"bottles-capped", "waste-collected", "keyboard-wiped"} <= set(after)


CAUTIONS = ["3 m", "creeps", "blinds", "ruins the silver bath", "cadmium", "at once", "licence"]
CAUTIONS += ["Varnish burns", "hot plate", "wipe it before bare hands", "never in a closed dark box"]


@pytest.mark.parametrize("word", CAUTIONS)
def test_no_caution_of_the_day_is_missing(word: str) -> None:
    """Ether, silver, fixer on gloves, cadmium, cyanide, varnish and the keyboard are each cautioned of."""
    assert any(word in item.reason or word in item.text for item in SHIPPED.before)


def test_a_line_stands_where_its_hazard_does() -> None:
    """The line about cyanide stands for processes that hold it, and for the sheet of no process."""
    for path in shipped_processes():
        process = load_process(path.stem)
        shown = [item.id for item in concerning(SHIPPED.before, [process])]
        assert ("cyanide" in shown) == path.stem.endswith("cyanide")
        assert "goggles" in shown
    assert len(concerning(SHIPPED.before, [])) == len(SHIPPED.before)


@pytest.mark.parametrize(
    ("seen", "due"),
    [({}, True), ({"fog-test": "2026-11-02"}, True), ({"fog-test": "2026-10-27"}, False),
     ({"fog-test": "2026-10-26"}, True)],
)  # fmt: skip
def test_a_line_comes_up_again_after_its_days(seen: dict[str, str], due: bool) -> None:
    """Six days after the fog test it is not due, seven days after it is; what was seen to today stays."""
    items = parse(SMALL, "day.yaml").items_before([], seen, "2026-11-02")
    assert ("fog-test" in [item.id for item in items]) == due


def test_the_sheet_is_due_while_a_line_stood_on_none() -> None:
    """Lines that stood on no sheet of the day make it due; when all did it is not."""
    items = parse(SMALL, "day.yaml").before
    assert [item.id for item in unseen(items, {"goggles"})] == ["fog-test"]
    assert unseen(items, {"goggles", "fog-test"}) == []


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("before:", "befor:", "day.yaml:1: befor: unknown key 'befor' (did you mean 'before'?)"),
        ("id: capped, ", "", "day.yaml:5: after[1]: the key 'id' is missing"),
        ("reason: Ether goes.", "reson: Ether goes.", "unknown key 'reson' (did you mean 'reason'?)"),
        ("id: capped", "id: goggles", "after[1].id: the id 'goggles' stands twice, first on line 2"),
        ("id: capped", "id: Capped!", "'Capped!' is no id"),
        ("id: capped", "id: confirm", "'confirm' is an id of the program's own"),
        ("[silver]", "[silvr]", "'silvr' is none of"),
        ("[silver]", "[silvr]", "did you mean 'silver'?"),
        ("7 days", "7", "before[2].every: '7' cannot be read: expected 1 to 366 days"),
        ("7 days", "0 days", "cannot be read: expected 1 to 366 days"),
        ("reason: Ether goes.", "reason: Ether goes., every: 2 days", "seen to each day"),
        ("text: Goggles on", "text: " + "x" * 61, "too long: 61 characters, at most 60"),
        ("text: Goggles on", "text: \U0001f97d", "an emoji"),
        ("after:", "after: none\nrest:", "expected a list, found a single value"),
    ],
)
def test_a_mistake_is_told_with_file_line_and_key(old: str, new: str, says: str) -> None:
    """Each mistake names the file, the line, the key and the nearest right word."""
    with pytest.raises(DayError) as caught:
        parse(SMALL.replace(old, new), "day.yaml")
    assert says in str(caught.value)
