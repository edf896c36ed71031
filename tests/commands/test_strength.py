"""`darkroom strength` as a user types it."""

from __future__ import annotations

import contextlib
import io
import json
import subprocess
import sys
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.cli import main
from tests.kit import command_line
from tests.kit.command_line import Capture

KEYS = {
    "substance", "mol_per_litre", "percent_wv", "mass_percent", "density_20", "sg", "grains_per_us_ounce",
    "grains_per_imperial_ounce", "took",
}  # fmt: skip


def run(capsys: Capture, words: str) -> tuple[int, str, str]:
    """Return (exit status, standard output, standard error) of `darkroom strength`."""
    return command_line.run(capsys, "strength", *words.split())


def data(capsys: Capture, words: str) -> Any:
    """Return what it prints with --json; warnings go to standard error."""
    status, out, _ = run(capsys, f"{words} --json")
    assert status == 0
    return json.loads(out)


def test_a_reading_as_json(capsys: Capture) -> None:
    """1.072 at 24 °C is 1.0729 at 20 °C and 9.02 % w/v (CRC table, water by Tanaka)."""
    found = data(capsys, "silver-nitrate --density 1.072 --at 24C")
    assert set(found) == KEYS
    assert (found["substance"], pytest.approx(found["density_20"], abs=5e-5)) == ("silver-nitrate", 1.0729)
    assert pytest.approx(9.02, abs=0.005) == found["percent_wv"]
    assert pytest.approx(41.2, abs=0.05) == found["grains_per_us_ounce"]
    assert "read at 24 °C" in found["took"]


# Each says 8.76 % w/v: 40 gr to the US ounce (exact units), by the CRC's density 1.0707.
@pytest.mark.parametrize(
    "words",
    [
        "--grains-per-us-ounce 40", "--percent 8.7644", "--percent 8.7644%", "--mass-percent 8.1855",
        "--density 1.07073", "--sg 1.07265", "--grains-per-imperial-ounce 38.430", "--sg-60f 1.07265",
        "--baume 9.8211", "--grains-per-us-ounce 40 --at 20C", "--grains-per-us-ounce 40.624 --of water",
    ],
)  # fmt: skip
def test_each_way_to_say_it(capsys: Capture, words: str) -> None:
    """One strength, said in every way, is one strength."""
    assert pytest.approx(8.764, abs=0.004) == data(capsys, f"silver-nitrate {words}")["percent_wv"]


def test_the_text_tells_every_unit(capsys: Capture) -> None:
    """40 grains to the US ounce in each unit, as the reference tables have them; 145 - 145/SG is °Bé."""
    out = run(capsys, "silver-nitrate --grains-per-us-ounce 40")[1]
    for row in (
        "8.76 % w/v", "87.6  g in a litre", "0.516  mol in a litre", "8.19  % by mass", "1.0707  g/mL at",
        "1.0727  specific gravity", "9.8  degrees Baumé", "40.0  grains to the US ounce of solution, 40.6 of",
        "38.4  grains to the imperial ounce of solution",
    ):  # fmt: skip
        assert row in out, row


def test_which_ounce_was_taken_is_said(capsys: Capture) -> None:
    """Grains are to the US or the imperial ounce, of solution or of water: the answer says of which."""
    assert "of finished solution" in data(capsys, "silver-nitrate --grains-per-us-ounce 40")["took"]
    found = data(capsys, "silver-nitrate --grains-per-us-ounce 40 --of water")
    assert "US fluid ounce of water" in found["took"]
    assert pytest.approx(8.63, abs=0.005) == found["percent_wv"]
    found = data(capsys, "silver-nitrate --grains-per-us-ounce 40 --at 24C")
    assert "silver hydrometer" in found["took"]
    assert pytest.approx(8.86, abs=0.02) == found["percent_wv"]
    out = run(capsys, "silver-nitrate --grains-per-imperial-ounce 40")[1]
    assert "taken: grains to the imperial fluid ounce of finished solution" in out


# By hand from the CRC's densities.
@pytest.mark.parametrize(
    ("words", "added"),
    [
        (
            "--percent 8 --to 9 --volume 1L",
            {"crystals_g": 10.16, "water_ml": 0, "stock_ml": 0, "final_ml": 1001.8},
        ),
        (
            "--percent 8 --to 9% --volume 940mL --fill 1L",
            {"crystals_g": 14.80, "water_ml": 57.4, "stock_ml": 0, "final_ml": 1000},
        ),
        ("--percent 8 --to 9 --volume 1L --stock 20", {"crystals_g": 0, "water_ml": 0, "stock_ml": 90.9}),
        (
            "--percent 11 --to 9 --volume 1L",
            {"crystals_g": 0, "water_ml": 222.35, "stock_ml": 0, "final_ml": 1222.2},
        ),
    ],
)  # fmt: skip
def test_what_to_add(capsys: Capture, words: str, added: dict[str, float]) -> None:
    """Crystals, water and stock in grams and mL, and the volume it then is."""
    found = data(capsys, f"silver-nitrate {words}")
    assert set(found) == {*KEYS, "add"}
    assert set(found["add"]) == {"crystals_g", "water_ml", "stock_ml", "final_ml"}
    for name, amount in added.items():
        assert pytest.approx(amount, abs=0.06) == found["add"][name], name


def test_the_warning_comes_before_the_grams(capsys: Capture) -> None:
    """A used bath reads low, and silver nitrate blinds: both stand above what to weigh."""
    status, out, err = run(capsys, "silver-nitrate --density 1.0645 --to 9 --volume 940mL --fill 1L")
    assert (status, err) == (0, "")
    assert out.index("A used bath reads low") < out.index("safety sheet") < out.index("g of silver nitrate")
    assert "Blinds" in out
    assert out.splitlines()[-1] == "it is then 1000.0 mL"
    assert max(map(len, out.splitlines())) <= 80
    assert "used bath" not in run(capsys, "hypo --density 1.1")[1]
    assert "used bath" in run(capsys, "silver-nitrate --density 1.07 --json")[2]


def test_strengths_may_have_their_unit(capsys: Capture) -> None:
    """Per cent, a strength wanted and a stock may be typed with a unit; which ounce was taken is said."""
    words = ["strength", "silver nitrate", "--percent", "80 g/L", "--to", "40 gr/US fl oz", "--volume", "1L"]
    assert main(words) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert (
        out.startswith("silver nitrate: 8.00 % w/v") and "to 8.764 % w/v" in out and "US fluid ounce" in out
    )
    assert main(["strength", "hypo", "--mass-percent", "20 % w/w"]) == 0
    assert main(["strength", "hypo", "--mass-percent", "20 % v/v"]) == 2
    assert "is per cent by volume" in capsys.readouterr().err
    assert main(["strength", "silver-nitrate", "--percent", "40 gr/oz"]) == 2
    assert "leaves open which fluid ounce" in capsys.readouterr().err


def test_a_dilution_by_parts(capsys: Capture) -> None:
    """1 + 4 and 1 in 5 take four times the volume of water; 1:4 is asked about."""
    for parts in ("1 + 4", "1 in 5"):
        words = ["strength", "hypo", "--percent", "50", "--dilute", parts, "--volume", "200mL", "--json"]
        assert main(words) == 0
        added = json.loads(capsys.readouterr().out)["add"]
        assert (pytest.approx(800), 0, 0) == (added["water_ml"], added["crystals_g"], added["stock_ml"])
        assert 994 < added["final_ml"] < 1000
    assert main(["strength", "hypo", "--percent", "50", "--dilute", "1:4", "--volume", "200mL"]) == 2
    assert "leaves open whether" in capsys.readouterr().err


@pytest.mark.parametrize("called", ["Silver Nitrate", "AgNO3", "nitrate of silver", "silver-nitrate"])
def test_a_substance_by_its_old_names(capsys: Capture, called: str) -> None:
    """What a jar is labelled with is known; the answer has the name of the table."""
    assert main(["strength", called, "--percent", "9", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["substance"] == "silver-nitrate"


OPTIONS = (
    "--density", "--sg", "--sg-60f", "--baume", "--percent", "--mass-percent", "--volume-percent",
    "--grains-per-us-ounce", "--assay", "--sample", "--at", "--marked", "--of", "--to", "--dilute",
    "--volume", "--fill", "--stock",
)  # fmt: skip
TYPED = st.one_of(
    st.text(max_size=12),
    st.sampled_from(["9", "8.4 %", "1.07", "1 + 9", "24C", "1 L", "940mL", "1g", "40 gr/oz", "water", "-1"]),
)  # fmt: skip


@given(
    substance=st.sampled_from(["silver-nitrate", "hypo", "ferrous-sulphate", "alcohol", "x"]),
    options=st.dictionaries(st.sampled_from(OPTIONS), TYPED, max_size=5),
)
def test_no_words_break_the_command(substance: str, options: dict[str, str]) -> None:
    """Whatever is typed behind whatever options: an answer, or one clear line and 1 or 2."""
    words = [f"{option}={text}" for option, text in options.items()]
    with contextlib.redirect_stdout(io.StringIO()) as out, contextlib.redirect_stderr(io.StringIO()) as err:
        status = main(["strength", substance, *words])
    assert status in (0, 1, 2)
    assert (status == 0) == bool(out.getvalue())
    assert status == 0 or err.getvalue()


def test_an_assay_tells_a_used_bath(capsys: Capture) -> None:
    """1 g of silver chloride from half an imperial ounce: 8.34 % w/v, 8.31 by the "Photo" manual."""
    words = ["strength", "silver-nitrate", "--assay", "1 g", "--sample", "1/2 imperial fl oz"]
    assert main([*words, "--to", "9", "--volume", "1L"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("silver nitrate: 8.34 % w/v")
    assert "8.31 % w/v" in " ".join(out.split()) and "imperial fluid ounce" in out
    assert "used bath" not in out and "Blinds" in out


def test_water_alone_needs_no_goggles(capsys: Capture) -> None:
    """Where no crystals are weighed none are warned of; where nothing is missing that is said."""
    out = run(capsys, "silver-nitrate --percent 11 --to 9 --volume 1L")[1]
    assert "Blinds" not in out and "mL of distilled water" in out
    assert "nothing to add" in run(capsys, "silver-nitrate --percent 9 --to 9 --volume 1L")[1]


def test_hypo_and_iron(capsys: Capture) -> None:
    """Figures are of crystals unless the name says otherwise; iron says how little a hydrometer tells."""
    crystals = data(capsys, "hypo --percent 20")
    dry = data(capsys, f"hypo-anhydrous --density {crystals['density_20']}")
    assert pytest.approx(20 * 158.11 / 248.18, rel=1e-6) == dry["percent_wv"]
    assert pytest.approx(crystals["mol_per_litre"], rel=1e-6) == dry["mol_per_litre"]
    assert "known within 1 % only" in run(capsys, "ferrous-sulphate --density 1.05")[1]
    assert "corrected for temperature" in run(capsys, "ferrous-sulphate --density 1.2 --at 25C")[1]


@pytest.mark.parametrize(
    ("words", "status", "phrase"),
    [
        ("silver-nitrat --percent 9", 2, "did you mean 'silver-nitrate'"),
        ("gold --percent 9", 2, "there are silver-nitrate, hypo"),
        ("silver-nitrate", 2, "one of --density, --sg,"),
        ("silver-nitrate --percent 9 --sg 1.07", 2, "one of them is enough"),
        ("silver-nitrate --percent 0", 2, "--percent: '0' is out of range"),
        ("silver-nitrate --percent -9", 2, "--percent: '-9' is out of range"),
        ("silver-nitrate --percent nan", 2, "--percent: 'nan'"),
        ("silver-nitrate --density 1,07", 2, "has a comma"),
        ("silver-nitrate --density 0", 2, "--density: '0' is out of range"),
        ("silver-nitrate --density 107", 2, "no reading of a hydrometer"),
        ("silver-nitrate --density 0.9", 1, "lighter than water"),
        ("silver-nitrate --density 1.6", 1, "ends at 1.4743"),
        ("silver-nitrate --percent 70", 1, "beyond the table of silver nitrate"),
        ("silver-nitrate --mass-percent 50", 1, "beyond the table"),
        ("silver-nitrate --density 1.07 --at 24", 2, "--at: '24' has no unit"),
        ("silver-nitrate --density 1.07 --at 60C", 1, "between 0 and 40 °C"),
        ("silver-nitrate --percent 9 --at 24C", 2, "--at goes with a hydrometer's reading"),
        ("silver-nitrate --percent 9 --marked 60F", 2, "--marked goes with a hydrometer's reading"),
        ("silver-nitrate --percent 9 --of water", 2, "--of water goes with grains"),
        ("hypo --grains-per-us-ounce 40 --at 24C", 2, "no hydrometer reads grains of hypo"),
        ("silver-nitrate --grains-per-us-ounce 40 --of air", 2, "'air' is not one of"),
        ("alcohol --percent 95", 2, "--percent does not go with alcohol"),
        ("alcohol --volume-percent 95 --at 20C", 2, "--at does not go with alcohol"),
        ("alcohol", 2, "one of --volume-percent, --mass-percent is needed"),
        ("alcohol --volume-percent 95 --to 70", 2, "--volume is needed"),
        ("alcohol --volume-percent 70 --to 95 --volume 1L", 1, "stronger than 70 %"),
        ("hypo --volume-percent 95", 2, "--volume-percent goes with alcohol"),
        ("hypo --percent 50 --dilute 1+4", 2, "--dilute: how much is there?"),
        ("hypo --percent 50 --dilute 1+4 --to 9 --volume 1L", 2, "do not go with it"),
        ("silver-nitrate --assay 1g", 2, "--sample is needed"),
        ("silver-nitrate --assay 1 --sample 10mL", 2, "--assay: '1' has no unit"),
        ("silver-nitrate --percent 8 --sample 10mL", 2, "--sample goes with --assay"),
        ("silver-nitrate --assay 90g --sample 10mL", 1, "beyond the table"),
        ("hypo --assay 1g --sample 10mL", 2, "the assay of silver-nitrate"),
        ("silver-nitrate --percent 8 --to 9", 2, "--volume is needed"),
        ("silver-nitrate --percent 8 --volume 1L", 2, "--to tells the strength wanted"),
        ("silver-nitrate --percent 8 --to 0 --volume 1L", 2, "--to: '0' is out of range"),
        ("silver-nitrate --percent 8 --to 9 --volume 0L", 2, "--volume: '0L' is absurd"),
        ("silver-nitrate --percent 8 --to 9 --volume 20oz", 2, "leaves open which fluid ounce"),
        ("silver-nitrate --percent 8 --to 9 --volume 1L --fill 1L", 1, "do not hold it"),
        ("silver-nitrate --percent 11 --to 9 --volume 1L --fill 1.1L", 1, "at least 1222 mL"),
        ("silver-nitrate --percent 8 --to 9 --volume 1L --stock 9", 1, "not stronger than"),
        ("silver-nitrate --percent 8 --to 80 --volume 1L", 1, "beyond the table"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_said_in_one_line(capsys: Capture, words: str, status: int, phrase: str) -> None:
    """Wrong words end with 2, what no table or bottle holds with 1; nothing is printed as an answer."""
    found, out, err = run(capsys, words)
    assert (found, out) == (status, "")
    assert phrase in err


# Gay-Lussac's table of dilution: 31.05 mL of water thin 100 mL of 90 % to 70 % at 15 °C (from memory).
def test_a_spirit_is_thinned(capsys: Capture) -> None:
    """Alcohol is counted by volume, and mixed with water it shrinks; its caution stands before."""
    found = data(capsys, "alcohol --volume-percent 90 --to 70 --volume 100mL")
    assert set(found) == {*KEYS, "volume_percent", "add"}
    assert pytest.approx(31.05, abs=0.2) == found["add"]["water_ml"]
    assert pytest.approx(100 * 90 / 70) == found["add"]["final_ml"]
    by_mass = data(capsys, f"alcohol --mass-percent {found['mass_percent']}")
    assert pytest.approx(90) == by_mass["volume_percent"]
    out = run(capsys, "alcohol --volume-percent 95 --to 70 --volume 1L")[1]
    assert out.index("No flame") < out.index("mL of distilled water")
    assert "a litre of it is 736.8 mL" in out
    assert max(map(len, out.splitlines())) <= 80


def test_old_ounces_of_a_bottle_are_named(capsys: Capture) -> None:
    """A volume in US ounces is taken as such, and the answer says so."""
    assert main(["strength", "silver-nitrate", "--percent", "8", "--to", "9", "--volume", "32 US fl oz"]) == 0
    out = capsys.readouterr().out
    assert "US fluid ounce" in out
    assert "it is then 948.1 mL" in out


def test_a_strength_needs_no_units_library() -> None:
    """Grains to the ounce are reckoned without pint: its import takes longer than the command."""
    code = (
        "import sys\nfrom darkroom.cli import main\n"
        "main(['strength', 'silver-nitrate', '--grains-per-us-ounce', '40', '--to', '9', '--volume', '1L'])\n"
        "print('pint' in sys.modules, 'textual' in sys.modules, file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stderr.split() == ["False", "False"]
