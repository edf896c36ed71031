"""Recipes as old books print them, read and scaled back to what the books say.

The figures are those of the books named at each; grains and ounces by their definitions (the pound of
0.45359237 kg has 7000 grains, the US fluid ounce is 231/128 cubic inches, the imperial gallon of 4546.09 mL
has 160 fluid ounces; from memory).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom import resources
from darkroom.process.text import amounts
from darkroom.solutions.recipe import Amount, Recipe
from darkroom.solutions.recipe_file import parse
from darkroom.solutions.recipe_scale import to_ingredient, to_volume

GRAIN = 453.59237 / 7000
US_OUNCE = 231 * 2.54**3 / 128
IMPERIAL_OUNCE = 4546.09 / 160
AV_OUNCE = 437.5 * GRAIN


def recipe(volume: str, **parts: str) -> Recipe:
    """Return a recipe of these parts, as a file has it."""
    lines = ["name: Printed", "makes: stock", f"volume: {volume}", "steps: Mix.", "ingredients:"]
    for what, how_much in parts.items():
        lines.append(f"  - {{what: {what.replace('_', ' ')}, amount: {how_much}, source: printed}}")
    return parse("\n".join(lines), "printed.yaml")


def shipped(name: str) -> Recipe:
    """Return a shipped recipe."""
    return resources.read_recipe(resources.recipes(Path("no folder"))[name])


def amount(made: Recipe, what: str) -> float:
    """Return how much of an ingredient goes in."""
    part = made.ingredient(what)
    assert part is not None
    return part.amount.value


def of(text: str) -> Amount:
    """Return an amount as it is typed."""
    reading, unit = amounts.amount(text)
    return Amount(value=reading.value, unit=unit)


# E. M. Estabrooke, Photography in the Studio and in the Field, p. 19, for ferrotypes: water 64 fl oz, ferrous
# sulphate 4 oz, acetic acid 4 oz, alcoholic tannin 4 oz. 5.99 % w/v on the water with avoirdupois
# ounces, 6.57 % with apothecaries'.
@pytest.mark.parametrize(("ounce", "percent"), [("avoirdupois", 5.99), ("apothecaries", 6.57)])
def test_the_ferrotype_developer_of_estabrooke(ounce: str, percent: float) -> None:
    """The strength on the water is the one worked out by hand, for either solid ounce."""
    parts = {"water": "64 US fl oz", "iron": f"4 {ounce} oz", "acid": "4 US fl oz", "tannin": "4 US fl oz"}
    made = recipe("72 US fl oz", **parts)
    assert 100 * amount(made, "iron") / amount(made, "water") == pytest.approx(percent, abs=0.005)
    quarter = to_volume(made, of("18 US fl oz"))
    assert amount(quarter, "water") == pytest.approx(16 * US_OUNCE)
    assert quarter.ingredients[1].amount.old == (1.0, f"{ounce} oz")


# "Photo" manual (early 1900s), wet plate process: saturated ferrous sulphate 5 oz, glacial acetic acid 2 oz,
# alcohol 1½ oz, water 35 oz: 43½ oz in all.
def test_a_developer_scaled_to_its_printed_total() -> None:
    """Scaled to 1 L and back to 43½ ounces, each part is what is printed."""
    parts = {"iron": "5 US fl oz", "acid": "2 US fl oz", "alcohol": "1 1/2 US fl oz", "water": "35 US fl oz"}
    printed = recipe("43 1/2 US fl oz", **parts)
    total = sum(part.amount.value for part in printed.ingredients)
    assert total == pytest.approx(printed.volume.value)
    back = to_volume(to_volume(printed, of("1 L")), of("43.5 US fl oz"))
    found = [part.amount.old[0] for part in back.ingredients if part.amount.old]
    assert found == pytest.approx([5.0, 2.0, 1.5, 35.0])


# The same manual: ferrous ammonium sulphate 150 gr, glacial acetic acid 150 minims, copper sulphate 15 gr,
# alcohol 1 oz, water 9 oz.
def test_minims_and_grains_scale_together() -> None:
    """For half of the water half of everything, in grains and minims; 480 minims are an ounce."""
    parts = {"double_salt": "150 gr", "acid": "150 imperial minims", "copper": "15 gr"}
    liquids = {"alcohol": "1 imperial fl oz", "water": "9 imperial fl oz"}
    half = to_ingredient(recipe("10 imperial fl oz", **parts, **liquids), "water", of("4.5 imperial fl oz"))
    assert amount(half, "double salt") == pytest.approx(75 * GRAIN)
    assert amount(half, "acid") == pytest.approx(75 / 480 * IMPERIAL_OUNCE)
    assert amount(half, "copper") == pytest.approx(7.5 * GRAIN)
    assert half.volume.value == pytest.approx(5 * IMPERIAL_OUNCE)


# D. van Monckhoven, Popular Treatise (1863) ch. XI: white gum-lac 2½ oz in alcohol 35 oz: 7.13 % w/v with
# avoirdupois and imperial ounces (70.87 g in 994.5 mL).
def test_the_lac_varnish_of_monckhoven() -> None:
    """The grams, the millilitres and the strength are those worked out by hand."""
    made = recipe("35 imperial fl oz", lac="2 1/2 avoirdupois oz", alcohol="35 imperial fl oz")
    assert amount(made, "lac") == pytest.approx(70.87, abs=0.005)
    assert amount(made, "alcohol") == pytest.approx(994.5, abs=0.05)
    assert 100 * amount(made, "lac") / amount(made, "alcohol") == pytest.approx(7.13, abs=0.005)


# J. Towler, The Silver Sunbeam (1864) ch. XVI, developer No. 1 for ambrotypes: ferrous sulphate 3 drachms,
# rain-water 4 ounces, acetic acid 3 drachms, alcohol 2 drachms.
def test_the_ambrotype_developer_of_towler() -> None:
    """A drachm of a solid is 60 grains, one of a liquid an eighth of an ounce: 9.9 % on the water."""
    parts = {"iron": "3 apothecaries drachms", "water": "4 US fl oz"}
    liquids = {"acid": "3 US fl drachms", "alcohol": "2 US fl drachms"}
    made = recipe("4 5/8 US fl oz", **parts, **liquids)
    assert amount(made, "iron") == pytest.approx(180 * GRAIN)
    assert amount(made, "acid") == pytest.approx(3 / 8 * US_OUNCE)
    assert 100 * amount(made, "iron") / amount(made, "water") == pytest.approx(9.86, abs=0.005)


# G. Fritz, Photo-lithography: iron developer of water 4000 ccm, ferrous sulphate 150 g, copper sulphate 75 g,
# alcohol 250 ccm, glacial acetic acid 125 ccm.
def test_a_metric_developer_of_fritz_for_what_is_left() -> None:
    """50 g of the iron are a third: 25 g of copper sulphate, 41.7 mL of acid."""
    parts = {"water": "4000 ccm", "iron": "150 g", "copper": "75 g", "alcohol": "250 ccm", "acid": "125 ccm"}
    made = to_ingredient(recipe("4375 ccm", **parts), "iron", of("50 g"))
    assert amount(made, "copper") == pytest.approx(25.0)
    assert amount(made, "acid") == pytest.approx(125 / 3)
    assert all(part.amount.old is None for part in made.ingredients)


# The Dictionary of Photography (Wall, about 1902): 240 gr of silver nitrate to 8 oz of water, 1 gr of
# potassium iodide: the iodide is 1/240 of the silver.
@pytest.mark.parametrize(("ounce", "percent"), [("US", 6.57), ("imperial", 6.84)])
def test_the_bath_of_the_dictionary(ounce: str, percent: float) -> None:
    """30 grains to the ounce of water are 6.57 or 6.84 g to 100 mL of it, and the iodide keeps its ratio."""
    printed = recipe(f"8 {ounce} fl oz", silver="240 gr", iodide="1 gr", water=f"8 {ounce} fl oz")
    made = to_ingredient(printed, "silver", of("90 g"))
    assert amount(made, "iodide") == pytest.approx(90 / 240)
    assert 100 * amount(made, "silver") / amount(made, "water") == pytest.approx(percent, abs=0.005)


# Henley's Twentieth Century Formulas, ordinary negative varnish: sandarac 1 oz, orange shellac ½ oz, castor
# oil 90 minims, methyl alcohol 1 pint.
def test_the_shipped_varnish_is_henleys() -> None:
    """For a pint of alcohol it is what is printed, with avoirdupois ounces and American measures."""
    made = to_ingredient(
        to_volume(shipped("varnish-without-lavender"), of("1 L")), "alcohol", of("1 US pint")
    )
    assert amount(made, "gum sandarac") == pytest.approx(AV_OUNCE)
    assert amount(made, "orange shellac") == pytest.approx(AV_OUNCE / 2)
    assert amount(made, "castor oil") == pytest.approx(90 / 480 * US_OUNCE)


# Estabrooke, developer for negatives: 20 grains to the ounce in 16 ounces, 1 ounce of acid: 4.38 % w/v with
# US ounces before the acid goes in.
def test_the_shipped_negative_developer_is_estabrookes() -> None:
    """Its iron on its water is the strength worked out by hand."""
    made = shipped("developer-negative")
    assert 100 * amount(made, "ferrous-sulphate") / amount(made, "distilled water") == pytest.approx(
        4.38, abs=0.005
    )
    assert amount(made, "acetic-acid") == pytest.approx(US_OUNCE)


# The Dictionary of Photography (Wall, about 1902), wet collodion process: ferrous sulphate 5 gr, citric acid
# 10 gr, water 1 oz, and a few drops of silver nitrate 10 gr to the ounce.
def test_the_shipped_intensifier_is_the_dictionarys() -> None:
    """For an imperial ounce it is what is printed; the silver solution has 10 grains to the ounce."""
    made = to_volume(shipped("intensifier"), of("1 imperial fl oz"))
    assert amount(made, "ferrous-sulphate") == pytest.approx(5 * GRAIN)
    assert amount(made, "citric acid") == pytest.approx(10 * GRAIN)
    silver = to_volume(shipped("intensifier-silver"), of("1 imperial fl oz"))
    assert amount(silver, "silver-nitrate") == pytest.approx(10 * GRAIN)


# Cooley's Cyclopaedia of Practical Receipts (6th ed.), from Mayall: alcohol 30 parts, water 40, tripoli 30.
def test_the_shipped_cleaning_paste_is_cooleys_without_its_ammonia() -> None:
    """The parts stand to each other as printed."""
    made = shipped("cleaning-paste")
    found = [part.amount.value for part in made.ingredients]
    assert [number / found[1] for number in found] == pytest.approx([1.0, 1.0, 4 / 3])


# Estabrooke p. 17: collodion with 8 grains of salts to the ounce needs a bath of about 50 grains: six times.
@pytest.mark.parametrize("name", ["collodion", "collodion-without-cadmium"])
def test_the_shipped_bath_balances_the_shipped_collodions(name: str) -> None:
    """The bath has at least six times the grains of the collodion's salts; both in grams to 100 mL here."""
    bath, collodion = shipped("silver-bath"), shipped(name)
    salts = sum(part.amount.value for part in collodion.ingredients if part.amount.unit == "g")
    assert bath.strength is not None
    assert bath.strength / (100 * salts / collodion.volume.value) >= 6


# The Barnet Book of Photography (1898): 25 %, 10 oz in 40 oz. Cassell's Cyclopaedia (1911): not weaker than
# 1 in 5.
def test_the_shipped_hypo_is_a_quarter() -> None:
    """250 g to the litre, and never under a fifth."""
    made = shipped("hypo")
    assert made.strength == 25.0 == 100 * amount(made, "hypo") / made.volume.value


# 1.5 g of silver to the litre of a single fixing bath (modern texts, from memory). A film of 2 mL of
# collodion to 100 cm² with 0.8 % ammonium iodide and 0.6 % cadmium bromide (assumed) holds so much halide.
def test_the_shipped_hypo_is_exhausted_after_so_much_silver() -> None:
    """The area that its care counts fixes out 1.4 to 1.5 g of silver, were none of it in the picture."""
    (care,) = shipped("hypo").care
    assert care.after.area is not None
    collodion_ml = care.after.area * 2.0 / 100
    halide = collodion_ml * (0.008 / 144.943 + 2 * 0.006 / 272.22)
    assert 1.4 <= halide * 107.868 <= 1.5
