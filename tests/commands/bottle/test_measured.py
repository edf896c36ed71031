"""`darkroom bottle measure` and `top-up`: readings, sums, the question, and both lines."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import pytest

from darkroom.log.bottles import files
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import fold
from darkroom.solutions.topping_up import plan
from darkroom.solutions.uses import Use
from tests.kit.bottles import made
from tests.kit.command_line import Capture, as_json, run


def enter(capsys: Capture, *words: str) -> None:
    """Enter the bath B-1."""
    assert run(capsys, "bottle", "new", "bath", "B-1", *words)[0] == 0


def events(home: Path) -> list[Any]:
    """Return what happened to the only bottle, after its making."""
    (bottle,) = files.read_shelf(home).bottles.values()
    return [entry.event for entry in bottle.entries[1:]]


def test_a_hydrometer_is_brought_to_twenty_degrees(home: Path, capsys: Capture) -> None:
    """1.072 at 24 °C is 9.02 % w/v of silver nitrate (CRC density table, Tanaka's water)."""
    enter(capsys)
    out = run(capsys, "bottle", "measure", "B-1", "--density", "1.072", "--at", "24C")[1]
    assert "9.02 % w/v" in out and "at least" not in out
    (line,) = events(home)
    assert (line.what, line.value, line.celsius) == ("density", 1.072, 24.0)
    assert line.strength == pytest.approx(9.02, abs=0.005)


@pytest.mark.parametrize(
    ("option", "value", "what", "percent"),
    [
        # 40 grains to the US ounce of solution: 64.79891 mg a grain, 29.5735 mL an ounce (definitions).
        ("--grains-per-us-ounce", "40", "silver_us", 8.764),
        ("--grains-per-imperial-ounce", "40", "silver_imperial", 9.122),
        # 1.0727 g/mL is 9 % w/v (CRC); over water at 20 °C, 0.99821 (Tanaka).
        ("--sg", "1.0746", "sg", 9.0),
        ("--density", "1.0727", "density", 9.0),
    ],
)
def test_scales(home: Path, capsys: Capture, option: str, value: str, what: str, percent: float) -> None:
    """Each scale leads to the same strength, and the line says which it was."""
    enter(capsys)
    told = as_json_said(capsys, "measure", "B-1", option, value)
    assert told["percent_wv"] == pytest.approx(percent, abs=0.01)
    assert events(home)[0].what == what


def as_json_said(capsys: Capture, *words: str) -> Any:
    """Return what a command about bottles prints as JSON; what was written is said beside it."""
    import json

    status, out, err = run(capsys, "bottle", *words, "--json")
    assert status == 0, err
    return json.loads(out)


def test_an_assay(home: Path, capsys: Capture) -> None:
    """A gram of silver chloride of half an imperial ounce is 8.34 % w/v (169.873/143.321, by hand)."""
    enter(capsys)
    told = as_json_said(capsys, "measure", "B-1", "--assay", "1g", "--sample", "14.2065mL")
    assert told["percent_wv"] == pytest.approx(8.34, abs=0.005)
    strength = as_json(capsys, "bottle", "show", "B-1")["strength"]
    assert "assay" in strength["basis"] and strength["low"] < 8.34 < strength["high"]


def test_volume_and_ph_are_lines_of_their_own(home: Path, capsys: Capture) -> None:
    """Both in one command; a reason goes with them."""
    enter(capsys)
    assert (
        run(capsys, "bottle", "measure", "B-1", "--ph", "3.5", "--volume", "940mL", "--reason", "weekly")[0]
        == 0
    )
    assert [(line.what, line.value, line.reason) for line in events(home)] == [
        ("ph", 3.5, "weekly"),
        ("volume", 940.0, "weekly"),
    ]


def test_what_has_no_table_is_noted_without_a_strength(home: Path, capsys: Capture) -> None:
    """A collodion's density is a reading and no strength."""
    run(capsys, "bottle", "new", "collodion", "C-1")
    told = as_json_said(capsys, "measure", "C-1", "--density", "0.78")
    assert told["percent_wv"] is None and events(home)[0].value == 0.78


def test_topped_up_to_a_volume(home: Path, capsys: Capture) -> None:
    """940 mL of 8 % become a litre of 9 % with 14.80 g and 57.4 mL (mass balance with the CRC densities)."""
    enter(capsys, "--volume", "940mL", "--strength", "8")
    told = as_json_said(capsys, "top-up", "B-1", "--to", "9", "--fill", "1L")
    assert told["add"]["crystals_g"] == pytest.approx(14.80, abs=0.005)
    assert told["add"]["water_ml"] == pytest.approx(57.4, abs=0.05)
    assert told["written"] is False and events(home) == []
    assert as_json_said(capsys, "top-up", "B-1", "--to", "9", "--fill", "1L", "--yes")["written"]
    (line,) = events(home)
    assert (line.strength, line.volume) == pytest.approx((9.0, 1000.0))


def test_measured_reckoned_asked_and_both_written(
    home: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The reading and the volume are noted at once; no writes no topping up, yes writes it after them.

    1.0605 g/mL is 7.52 % w/v (CRC): (9·m/100 - s·ρ)/(ρ - 0.09) of 940 mL is 14.18 g.
    """
    enter(capsys, "--volume", "1L", "--strength", "9")
    words = [
        "bottle",
        "top-up",
        "B-1",
        "--to",
        "9",
        "--density",
        "1.0605",
        "--at",
        "20C",
        "--volume",
        "940mL",
    ]
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(b"n\n")))
    status, out, err = run(capsys, *words)
    assert status == 1 and "add 14.18 g" in out
    assert "no topping up is written; the reading is" in err
    assert [type(line).__name__ for line in events(home)] == ["Measured", "Measured"]
    assert err.index("The supplier's safety sheet first") < err.index("Goggles")
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(b"y\n")))
    assert run(capsys, *words)[0] == 0
    assert [type(line).__name__ for line in events(home)] == [*["Measured"] * 4, "ToppedUp"]
    assert as_json(capsys, "bottle", "show", "B-1")["strength"]["percent_wv"] == pytest.approx(9.0)


def test_a_stock_of_the_book(home: Path, capsys: Capture) -> None:
    """1000 mL of 8 % become 9 % with 90.9 mL of a 20 % stock (mass balance); its strength is the book's."""
    run(capsys, "bottle", "new", "stock", "S-1", "--strength", "20")
    run(capsys, "bottle", "new", "bath", "B-1", "--volume", "1L", "--strength", "8")
    told = as_json_said(capsys, "top-up", "B-1", "--to", "9", "--from", "S-1", "--yes")
    assert told["add"]["stock_ml"] == pytest.approx(90.9, abs=0.05)
    shelf = files.read_shelf(home).bottles.values()
    line = next(bottle for bottle in shelf if bottle.name == "B-1").entries[-1].event
    assert isinstance(line, ev.ToppedUp) and line.stock_strength == 20.0 and line.from_ is not None


def test_a_bath_that_is_too_strong_gets_water(home: Path, capsys: Capture) -> None:
    """1000 mL of 11 % become 9 % with 222.35 mL of water (mass balance), and nobody warns of silver."""
    enter(capsys, "--volume", "1L", "--strength", "11")
    told = as_json_said(capsys, "top-up", "B-1", "--to", "9")
    assert told["add"]["water_ml"] == pytest.approx(222.35, abs=0.05) and told["warnings"] == []


def test_silver_into_a_good_bath_is_warned_of(home: Path, capsys: Capture) -> None:
    """It is said before it is written, and is a question."""
    enter(capsys, "--volume", "1L", "--strength", "9")
    told = as_json_said(capsys, "top-up", "B-1", "--to", "10")
    assert told["warnings"][0] == "The supplier's safety sheet first."
    assert any("strong enough" in said for said in told["warnings"])


def test_what_a_stock_gives_it_loses(home: Path, capsys: Capture) -> None:
    """The stock's bottle gets its own line; one that holds too little is named before the question."""
    run(capsys, "bottle", "new", "stock", "S-1", "--strength", "20", "--volume", "100mL")
    run(capsys, "bottle", "new", "bath", "B-1", "--volume", "1L", "--strength", "8")
    words = ["bottle", "top-up", "B-1", "--to", "9", "--from", "S-1", "--yes"]
    _, _, err = run(capsys, *words)
    assert "S-1: drawn off: 91 mL into B-1" in err and "Goggles" in err and "are needed" not in err
    assert as_json(capsys, "bottle", "show", "S-1")["volume_ml"] == pytest.approx(9.1, abs=0.05)
    assert "since: measure" not in run(capsys, "bottle", "show", "B-1")[1]
    run(capsys, "bottle", "measure", "B-1", "--assay", "0.72g", "--sample", "10mL")
    _, _, err = run(capsys, *words[:4], "10", *words[5:])
    assert "S-1 holds 9.1 mL by the book" in err


def test_what_was_told_is_added_up(home: Path, capsys: Capture) -> None:
    """940 mL of 8 % with 5 g more are 80.2 g in 941 mL, 8.52 % w/v (mass balance), with wider bounds."""
    enter(capsys, "--volume", "940mL", "--strength", "8")
    assert run(capsys, "bottle", "top-up", "B-1", "--crystals", "5g", "--yes")[0] == 0
    told = as_json(capsys, "bottle", "show", "B-1")["strength"]
    assert told["percent_wv"] == pytest.approx(8.52, abs=0.01)
    assert "not measured" in told["basis"] and told["high"] - told["low"] > 0.6


def test_what_was_added_without_reckoning(home: Path, capsys: Capture) -> None:
    """Crystals and water are noted as they are told; the volume grows by the water."""
    enter(capsys, "--volume", "500mL")
    assert run(capsys, "bottle", "top-up", "B-1", "--water", "20mL", "--crystals", "2g", "--yes")[0] == 0
    (line,) = events(home)
    assert (line.grams, line.water, line.volume, line.strength) == (2.0, 20.0, 520.0, None)


def test_the_volume_of_the_book_is_doubted_after_plates() -> None:
    """Plates carry bath out: what is reckoned with the volume of the book says how much, an estimate."""
    bottle = fold("b1", [made(volume=1000.0, strength=9.0)])
    assert bottle is not None
    uses = [
        Use(plate=str(number), number=number, bottle="b1", role="bath", stage="x", instant=9.0, area=500.0)
        for number in range(10)
    ]
    nothing: dict[str, Any] = dict.fromkeys(("reading", "fill", "stock", "source", "crystals", "water"))
    reckoned = plan(bottle, uses, None, 100.0, wanted=9.5, volume=None, **nothing)
    assert any("10 plates since that was said carried out about 15 mL" in said for said in reckoned.says)
    measured = plan(bottle, uses, None, 100.0, wanted=9.5, volume=985.0, **nothing)
    assert not any("carried out about 15 mL" in said for said in measured.says)


@pytest.mark.parametrize(
    ("words", "status", "says"),
    [
        (["measure", "B-1"], 2, "say what was measured"),
        (["measure", "B-1", "--density", "1.07", "--sg", "1.07"], 2, "one reading"),
        (["measure", "B-1", "--at", "24C"], 2, "--at"),
        (["measure", "B-1", "--density", "1.072", "--at", "24"], 2, "no unit"),
        (["measure", "B-1", "--density", "1.9"], 1, "beyond the table"),
        (["measure", "B-1", "--density", "x"], 2, "--density"),
        (["measure", "B-1", "--density", "0.2"], 2, "--density"),
        (["measure", "B-1", "--assay", "1g"], 2, "go together"),
        (["measure", "B-1", "--ph", "15"], 2, "--ph"),
        (["top-up", "B-1"], 2, "--to"),
        (["top-up", "B-1", "--to", "9"], 2, "holds is not known"),
        (["top-up", "B-1", "--to", "8.5", "--volume", "1L", "--stock", "8"], 1, "not stronger"),
        (["top-up", "B-1", "--to", "90", "--volume", "1L"], 1, "beyond the table"),
        (["top-up", "B-1", "--to", "9", "--volume", "1L", "--fill", "500mL"], 1, "do not hold"),
        (["top-up", "B-1", "--to", "9", "--crystals", "3g"], 2, "reckoned"),
        (["top-up", "B-1", "--fill", "1L", "--water", "3mL"], 2, "--fill"),
    ],
)
def test_wrong_words_are_one_clear_line(
    home: Path, capsys: Capture, words: list[str], status: int, says: str
) -> None:
    """Each says what is wrong, and writes nothing."""
    enter(capsys, "--strength", "8")
    ended, out, err = run(capsys, "bottle", *words)
    assert (ended, says in err) == (status, True), (out, err)
    assert events(home) == []
