"""`darkroom mix`: the list, the card, the JSON, the check, and what it says of wrong words."""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom import resources
from tests.kit.command_line import Capture, as_json, run
from tests.kit.documents import ROOT

OWN = """
name: Weak bath
makes: bath
volume: 100 mL
ingredients:
  - {what: silver nitrate, amount: 7 g, source: invented}
  - {what: distilled water, fill_to: 100 mL, source: invented}
steps: [Dissolve.]
"""


def own_recipe(home: Path, name: str, text: str = OWN) -> Path:
    """Write a recipe of the user's own."""
    path = home / "profiles" / "solutions" / f"{name}.yaml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def test_the_recipes_are_listed(home: Path, capsys: Capture) -> None:
    """Each shipped recipe stands on a line with its name, one's own among them."""
    own_recipe(home, "weak-bath")
    status, out, err = run(capsys, "mix")
    assert (status, err) == (0, "")
    assert "silver-bath" in out and "Weak bath" in out
    listed = as_json(capsys, "mix")
    assert {row["recipe"] for row in listed} == set(resources.recipes(home))
    assert all(Path(row["file"]).is_file() for row in listed)


def test_a_litre_of_silver_bath(home: Path, capsys: Capture) -> None:
    """9 % of a litre are 90 g: per cent w/v are grams in 100 mL."""
    made = as_json(capsys, "mix", "silver-bath", "--make", "1L")
    assert set(made) == {"recipe", "makes", "items", "cautions"}
    assert made["recipe"] == "silver-bath"
    assert made["makes"] == {"what": "bath", "amount": 1000.0, "unit": "mL", "took": None}
    assert made["items"] == [
        {"what": "silver nitrate", "amount": 90.0, "unit": "g", "took": None},
        {"what": "distilled water", "amount": 1000.0, "unit": "mL", "took": "fills up to this volume"},
    ]
    assert any("blinds" in caution for caution in made["cautions"])


@pytest.mark.parametrize("left", ["silver-nitrate=45g", "Silver nitrate=45 g", "silver-nitrate=0.045 kg"])
def test_what_is_left_of_an_ingredient_says_how_much(home: Path, capsys: Capture, left: str) -> None:
    """45 g of silver nitrate make half a litre of 9 %."""
    made = as_json(capsys, "mix", "silver-bath", "--with", left)
    assert made["makes"]["amount"] == pytest.approx(500.0)
    assert made["items"][0]["amount"] == pytest.approx(45.0)


def test_of_several_the_scarcest_counts(home: Path, capsys: Capture) -> None:
    """35 g of iron would make a litre of summer developer, 11 mL of acid a fifth of it."""
    words = ("--with", "ferrous-sulphate=35g", "--with", "acetic-acid=11mL")
    made = as_json(capsys, "mix", "developer-summer", *words)
    assert made["makes"]["amount"] == pytest.approx(200.0)


@pytest.mark.parametrize("word", ["Hypo fixer", "hypo FIXER", "HYPO", "hypo"])
def test_a_recipe_is_found_by_its_title_too(home: Path, capsys: Capture, word: str) -> None:
    """The name of its file, or the name in it, in any case."""
    assert as_json(capsys, "mix", word)["recipe"] == "hypo"


def test_what_fills_up_takes_the_unit_that_was_typed(home: Path, capsys: Capture) -> None:
    """For 20 US ounces the water is filled up to 20 US ounces, 591.5 mL."""
    _, out, _ = run(capsys, "mix", "silver-bath", "--make", "20 US fl oz")
    assert "to 591 mL  distilled water (20 US fl oz)" in out and "53.23 g  silver nitrate [" in out


def test_the_card_says_what_decided_how_much(home: Path, capsys: Capture) -> None:
    """Of two that are left, the scarcer one stands beside the volume."""
    words = ("--with", "ferrous-sulphate=35g", "--with", "acetic acid=11mL")
    _, out, _ = run(capsys, "mix", "developer-summer", *words)
    assert "makes 200 mL, as much as 11 mL of acetic acid, glacial allows" in out


def test_a_care_says_after_what_and_since_when(home: Path, capsys: Capture) -> None:
    """Counts are told with what begins them, for the volume that is made."""
    _, out, _ = run(capsys, "mix", "silver-bath", "--make", "500 mL")
    told = " ".join(out.split())
    assert "Iodise the new bath with a coated plate: at once, until it is iodised [" in told
    assert "Filter the bath: after 10 plates or 14 days since filtered [" in told
    assert "Top the bath up with silver nitrate: when the strength is below 8 % [" in told
    _, out, _ = run(capsys, "mix", "hypo")
    told = " ".join(out.split())
    assert "after 6700 cm² of plates since made, or when a plate takes 2 times as long to clear" in told


def test_old_measures_stand_beside_the_metric_ones(home: Path, capsys: Capture) -> None:
    """320 grains are 20.74 g (1 grain is 64.79891 mg by definition); which ounce was taken is said."""
    status, out, _ = run(capsys, "mix", "developer-negative")
    assert status == 0
    assert "20.74 g  ferrous sulphate, green crystals (320 gr)" in out
    assert "Measures taken: grain of 0.0648 g; US fluid ounce." in out
    made = as_json(capsys, "mix", "developer-negative", "--make", "34 US fl oz")
    assert made["items"][0]["amount"] == pytest.approx(640 * 0.06479891)
    assert made["items"][1]["took"] == "US fluid ounce" == made["makes"]["took"]


@pytest.mark.parametrize(
    ("volume", "amount", "says"),
    [
        ("1450 mL", "0.3 mL  acetic acid, glacial (6 drops)", "one at a time"),
        ("10 L", "2.07 mL  acetic acid, glacial (41.38 drops)", "measured, not counted"),
        ("100 mL", "0.0207 mL  acetic acid, glacial (0.4138 drops)", "less than a drop"),
    ],
)
def test_drops_scale_with_caution(home: Path, capsys: Capture, volume: str, amount: str, says: str) -> None:
    """Drops stand beside millilitres; too few and too many are told, and that their size varies."""
    _, out, _ = run(capsys, "mix", "substratum", "--make", volume)
    assert amount in out and says in " ".join(out.split()) and "its size varies" in out


def test_cyanide_opens_with_who_must_not_mix_it(home: Path, capsys: Capture) -> None:
    """The warning is the first line of the card and the first caution, and it names hypo."""
    _, out, _ = run(capsys, "mix", "cyanide")
    assert out.startswith("WARNING  Who must not mix it: anyone without training")
    assert "darkroom mix hypo" in " ".join(out.split("\n\n")[0].split())
    assert as_json(capsys, "mix", "cyanide")["cautions"][0].startswith("Who must not mix it")


@pytest.mark.parametrize("name", sorted(resources.recipes(Path("no folder"))))
def test_a_card_fits_eighty_columns(home: Path, capsys: Capture, name: str) -> None:
    """No line of a shipped card is longer, at another volume either; safety sheets stand before amounts."""
    for words in ((), ("--make", "1.234 L")):
        _, out, _ = run(capsys, "mix", name, *words)
        assert max(map(len, out.splitlines()[:-1])) <= 80  # the path of the file may be longer
        assert out.index("safety sheets") < out.index("What goes in")
        assert out.rstrip().endswith(".yaml")


def test_ones_own_takes_the_place_of_a_shipped_recipe(home: Path, capsys: Capture) -> None:
    """A file of the same name in the log's folder wins; its ingredients get the usual cautions."""
    own_recipe(home, "silver-bath")
    made = as_json(capsys, "mix", "silver-bath")
    assert made["items"][0]["amount"] == 7.0
    assert any(caution.startswith("silver nitrate: Blinds") for caution in made["cautions"])


def test_a_recipe_may_be_a_file(home: Path, tmp_path: Path, capsys: Capture) -> None:
    """A path is read as it stands."""
    path = tmp_path / "mine.yaml"
    path.write_text(OWN, encoding="utf-8")
    assert as_json(capsys, "mix", str(path))["recipe"] == "mine"


@pytest.mark.parametrize(
    ("words", "status", "says"),
    [
        (("silver-bth",), 2, "there is no recipe 'silver-bth' (did you mean 'silver-bath'?)"),
        (("zzz",), 2, "there is no recipe 'zzz': there are cleaning-paste"),
        (("nowhere/mine.yaml",), 2, "nowhere/mine.yaml"),
        (("silver-bath", "--make", "1"), 2, "--make: '1' has no unit"),
        (("silver-bath", "--make", "90 g"), 2, "--make: '90 g' has a unit that is not known here"),
        (("silver-bath", "--make", "20 fl oz"), 2, "--make: '20 fl oz' leaves open which fluid ounce"),
        (("silver-bath", "--make", "0 L"), 2, "--make: '0 L' is absurd"),
        (("silver-bath", "--make", "-1 L"), 2, "--make: '-1 L' is negative"),
        (("silver-bath", "--make", "0.01 mL"), 2, "a recipe makes 0.1 mL to 1e+06 mL"),
        (("silver-bath", "--with", "silver-nitrat=45g"), 2, "(did you mean 'silver-nitrate'?)"),
        (("silver-bath", "--with", "silver-nitrate"), 2, "is not NAME=AMOUNT"),
        (("silver-bath", "--with", "=45g"), 2, "is not NAME=AMOUNT"),
        (("silver-bath", "--with", "silver-nitrate=45"), 2, "--with: '45' has no unit"),
        (("silver-bath", "--with", "silver-nitrate=45mL"), 2, "silver nitrate is weighed"),
        (("silver-bath", "--with", "distilled-water=1L"), 2, "fills up to the whole"),
        (("silver-bath", "--make", "1L", "--with", "silver-nitrate=45g"), 2, "one of them is enough"),
        (("silver-bath", "hypo"), 2, "one recipe at a time"),
        (("--make", "1L"), 2, "which recipe?"),
        (("--check",), 2, "--check goes with"),
        (("--check", "hypo", "--make", "1L"), 2, "--check goes with"),
    ],
)
def test_wrong_words_are_one_clear_line(
    home: Path, capsys: Capture, words: tuple[str, ...], status: int, says: str
) -> None:
    """Exit 2 and one line on standard error that names the option; nothing is printed."""
    got, out, err = run(capsys, "mix", *words)
    assert (got, out) == (status, "")
    assert says in err and len(err.splitlines()) == 1


def test_a_wrong_recipe_is_told_and_exits_1(home: Path, capsys: Capture) -> None:
    """Mixing from a file with mistakes names each with its line; the list says that it has some."""
    path = own_recipe(home, "weak-bath", OWN.replace("7 g", "7 oz"))
    status, out, err = run(capsys, "mix", "weak-bath")
    assert (status, out) == (1, "")
    assert f"{path}:6: ingredients[1].amount: '7 oz' leaves open" in err
    status, out, err = run(capsys, "mix")
    assert status == 0 and "weak-bath" not in out
    assert f"weak-bath has mistakes: darkroom mix --check {path}" in err


def test_check_says_every_mistake_and_exits_1(home: Path, capsys: Capture) -> None:
    """Right and wrong files are counted on standard error; with --json each mistake is an object."""
    wrong = ROOT / "tests" / "invalid" / "recipe" / "makes-unknown.yaml"
    status, out, err = run(capsys, "mix", "--check", "hypo", str(wrong))
    assert status == 1
    assert out == (
        f"{wrong}:2: makes: 'bahts' is none of: bath, collodion, developer, fixer, substratum, intensifier, "
        "varnish, cleaning, edging, stock (did you mean 'bath'?)\n"
    )
    assert err == "1 right, 1 wrong\n"
    status, out, _ = run(capsys, "mix", "--check", str(wrong), "--json")
    assert status == 1 and '"near": "bath"' in out and '"line": 2' in out


def test_check_of_what_cannot_be_read_exits_2(home: Path, tmp_path: Path, capsys: Capture) -> None:
    """A missing file and a folder are told; the shipped recipes are all right."""
    status, _, err = run(capsys, "mix", "--check", str(tmp_path / "none.yaml"), str(tmp_path))
    assert status == 2 and err.endswith("2 not readable\n")
    names = list(resources.recipes(home))
    assert run(capsys, "mix", "--check", *names) == (0, "", f"{len(names)} right\n")


def test_recipes_are_no_processes(home: Path, capsys: Capture) -> None:
    """`process list` does not take a recipe for a process, a shipped one or one's own."""
    own_recipe(home, "weak-bath")
    _, out, err = run(capsys, "process", "list")
    assert "bath" not in out and err == ""
