"""The substances of the trade: what they weigh, what a hydrate holds, what they do to people. Pure.

Molar masses are of IUPAC's standard atomic weights, in g/mol; the hydrates are written out, since no formula
is parsed here. Hazards are the usual statements of the GHS in plain words, from memory: the supplier's
safety sheet comes first. What reacts with what stands in `dangers.py`.
"""

from __future__ import annotations

from typing import NamedTuple

from darkroom.errors import NothingFound, nearest

SHEET_FIRST = "The supplier's safety sheet first."
"""Stands before every caution."""


class Substance(NamedTuple):
    """One substance, as it lies in its jar.

    `name` is its key, `label` its name in a sentence, `aliases` what else it is called, in lower case.
    `molar_mass` is in g/mol, None for mixtures. `anhydrous` is the name without its water of crystals, for a
    hydrate. `halides` is how many ions of a salt take a silver each. `kinds` are the words by which
    `dangers.py` knows it.
    """

    name: str
    label: str
    formula: str = ""
    molar_mass: float | None = None
    anhydrous: str | None = None
    halides: int = 0
    kinds: frozenset[str] = frozenset()
    aliases: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


_CADMIUM = (
    "Poison, and it causes cancer: never breathe the dust, gloves, weigh under a hood, collect all of its "
    "waste.",
    "Salts without cadmium do the same work.",
)
_IRRITANT = ("Irritates eyes and skin: gloves and goggles.",)
_FLAMMABLE_SPIRIT = ("Highly flammable, its vapour too; irritates eyes. No flame in the room.",)


def _kinds(*words: str) -> frozenset[str]:
    return frozenset(words)


_LISTED = (
    Substance(
        name="silver-nitrate",
        label="silver nitrate",
        formula="AgNO3",
        molar_mass=169.873,
        kinds=_kinds("silver", "silver nitrate", "oxidiser"),
        aliases=("agno3", "lunar caustic", "nitrate of silver"),
        cautions=(
            "Blinds: goggles on before the jar is opened. Burns skin, and blackens it.",
            "Makes fire worse; poisons water for a long time: keep it out of the drain.",
        ),
    ),
    Substance(name="silver-chloride", label="silver chloride", formula="AgCl", molar_mass=143.32,
              kinds=_kinds("silver"), aliases=("agcl", "chloride of silver")),
    Substance(name="silver-bromide", label="silver bromide", formula="AgBr", molar_mass=187.772,
              kinds=_kinds("silver"), aliases=("agbr", "bromide of silver")),
    Substance(name="silver-iodide", label="silver iodide", formula="AgI", molar_mass=234.772,
              kinds=_kinds("silver"), aliases=("agi", "iodide of silver")),
    Substance(name="sodium-chloride", label="sodium chloride", formula="NaCl", molar_mass=58.44, halides=1,
              kinds=_kinds("halide"), aliases=("nacl", "salt", "common salt")),
    Substance(name="potassium-iodide", label="potassium iodide", formula="KI", molar_mass=166.003, halides=1,
              kinds=_kinds("halide"), aliases=("ki", "iodide of potassium"),
              cautions=("Harms the thyroid when taken often: gloves.",)),
    Substance(name="potassium-bromide", label="potassium bromide", formula="KBr", molar_mass=119.002,
              halides=1,
              kinds=_kinds("halide"), aliases=("kbr", "bromide of potassium"), cautions=_IRRITANT),
    Substance(name="ammonium-iodide", label="ammonium iodide", formula="NH4I", molar_mass=144.943, halides=1,
              kinds=_kinds("halide"), aliases=("nh4i", "iodide of ammonium"), cautions=_IRRITANT),
    Substance(name="ammonium-bromide", label="ammonium bromide", formula="NH4Br", molar_mass=97.943,
              halides=1,
              kinds=_kinds("halide"), aliases=("nh4br", "bromide of ammonium"), cautions=_IRRITANT),
    Substance(name="cadmium-iodide", label="cadmium iodide", formula="CdI2", molar_mass=366.22, halides=2,
              kinds=_kinds("halide", "cadmium"), aliases=("cdi2", "iodide of cadmium"), cautions=_CADMIUM),
    Substance(name="cadmium-bromide-anhydrous", label="cadmium bromide, anhydrous", formula="CdBr2",
              molar_mass=272.22, halides=2, kinds=_kinds("halide", "cadmium"), aliases=("cdbr2",),
              cautions=_CADMIUM),
    Substance(name="cadmium-bromide", label="cadmium bromide, crystals", formula="CdBr2·4H2O",
              molar_mass=344.28,
              anhydrous="cadmium-bromide-anhydrous", halides=2, kinds=_kinds("halide", "cadmium"),
              aliases=("bromide of cadmium", "cadmium bromide tetrahydrate"), cautions=_CADMIUM),
    Substance(name="lithium-iodide", label="lithium iodide", formula="LiI", molar_mass=133.84, halides=1,
              kinds=_kinds("halide"), aliases=("lii", "iodide of lithium"), cautions=_IRRITANT),
    Substance(name="lithium-bromide", label="lithium bromide", formula="LiBr", molar_mass=86.84, halides=1,
              kinds=_kinds("halide"), aliases=("libr", "bromide of lithium"), cautions=_IRRITANT),
    Substance(name="zinc-iodide", label="zinc iodide", formula="ZnI2", molar_mass=319.19, halides=2,
              kinds=_kinds("halide"), aliases=("zni2", "iodide of zinc"),
              cautions=("Burns skin and eyes; poisons water.",)),
    Substance(name="zinc-bromide", label="zinc bromide", formula="ZnBr2", molar_mass=225.19, halides=2,
              kinds=_kinds("halide"), aliases=("znbr2", "bromide of zinc"),
              cautions=("Burns skin and eyes; poisons water.",)),
    Substance(name="hypo-anhydrous", label="sodium thiosulphate, anhydrous", formula="Na2S2O3",
              molar_mass=158.11, kinds=_kinds("hypo"),
              aliases=("anhydrous hypo", "anhydrous sodium thiosulphate", "anhydrous sodium thiosulfate",
              "na2s2o3")),
    Substance(name="hypo", label="hypo crystals", formula="Na2S2O3·5H2O", molar_mass=248.18,
              anhydrous="hypo-anhydrous", kinds=_kinds("hypo"),
              aliases=("sodium thiosulphate", "sodium thiosulfate", "hyposulphite of soda", "hypo crystals",
                       "sodium thiosulphate crystals", "sodium thiosulphate pentahydrate")),
    Substance(name="ferrous-sulphate-anhydrous", label="ferrous sulphate, anhydrous", formula="FeSO4",
              molar_mass=151.91, kinds=_kinds("iron"),
              aliases=("feso4", "iron(ii) sulphate, anhydrous"), cautions=_IRRITANT),
    Substance(name="ferrous-sulphate", label="ferrous sulphate crystals", formula="FeSO4·7H2O",
              molar_mass=278.01, anhydrous="ferrous-sulphate-anhydrous", kinds=_kinds("iron"),
              aliases=("ferrous sulfate", "iron sulphate", "iron sulfate", "green vitriol",
              "protosulphate of iron",
                       "iron(ii) sulphate", "ferrous sulphate heptahydrate"),
              cautions=("Harmful if swallowed; irritates eyes and skin, and stains.",)),
    Substance(name="ferrous-ammonium-sulphate", label="ferrous ammonium sulphate",
              formula="Fe(NH4)2(SO4)2·6H2O",
              molar_mass=392.14, kinds=_kinds("iron"),
              aliases=("ferrous ammonium sulfate", "double sulphate of iron and ammonia"),
              cautions=_IRRITANT),
    Substance(name="copper-sulphate", label="copper sulphate crystals", formula="CuSO4·5H2O",
              molar_mass=249.68,
              aliases=("copper sulfate", "blue vitriol", "bluestone"),
              cautions=("Harmful if swallowed, damages eyes; poisons water: keep it out of the drain.",)),
    Substance(
        name="potassium-cyanide",
        label="potassium cyanide",
        formula="KCN",
        molar_mass=65.12,
        kinds=_kinds("cyanide"),
        aliases=("kcn", "cyanide of potassium", "cyanide"),
        cautions=(
            "Kills if swallowed, breathed or through the skin. Only for those who are trained, and licensed "
            "where "
            "the law asks it; never alone. Hypo fixes too.",
            "Acid sets hydrogen cyanide free, which kills at once: no acid in the room.",
        ),
    ),
    Substance(name="acetic-acid", label="glacial acetic acid", formula="CH3COOH", molar_mass=60.05,
              kinds=_kinds("acid"), aliases=("acetic acid", "glacial acetic acid"),
              cautions=("Burns skin and eyes; its vapour can be lit above 39 °C. Acid into water, never "
                        "back.",)),
    Substance(name="nitric-acid", label="nitric acid", formula="HNO3", molar_mass=63.01,
              kinds=_kinds("acid", "nitric acid", "oxidiser"), aliases=("hno3", "aqua fortis"),
              cautions=("Burns skin and eyes, poisonous to breathe, makes fire worse. Acid into water, never "
                        "back; "
                        "only after a test of the bath.",)),
    Substance(name="ammonia", label="ammonia water", formula="NH3", molar_mass=17.03,
              kinds=_kinds("ammonia", "alkali"), aliases=("nh3", "ammonium hydroxide", "liquor ammoniae"),
              cautions=("Burns skin and eyes; irritates the lungs.",)),
    Substance(name="sodium-carbonate", label="sodium carbonate, anhydrous", formula="Na2CO3",
              molar_mass=105.99,
              kinds=_kinds("alkali"), aliases=("na2co3", "soda ash"), cautions=_IRRITANT),
    Substance(name="washing-soda", label="sodium carbonate crystals", formula="Na2CO3·10H2O",
              molar_mass=286.14,
              anhydrous="sodium-carbonate", kinds=_kinds("alkali"),
              aliases=("sodium carbonate crystals", "sodium carbonate decahydrate"), cautions=_IRRITANT),
    Substance(name="sodium-bicarbonate", label="sodium bicarbonate", formula="NaHCO3", molar_mass=84.01,
              kinds=_kinds("alkali"), aliases=("nahco3", "sodium hydrogen carbonate", "baking soda")),
    Substance(name="iodine", label="iodine", formula="I2", molar_mass=253.81, kinds=_kinds("iodine"),
              aliases=("i2",), cautions=("Harmful on the skin and to breathe; stains; poisons water.",)),
    Substance(name="ethanol", label="alcohol", formula="C2H5OH", molar_mass=46.07,
              kinds=_kinds("alcohol", "flammable"),
              aliases=("alcohol", "ethyl alcohol", "spirit", "spirits of wine", "denatured alcohol"),
              cautions=_FLAMMABLE_SPIRIT),
    Substance(
        name="ether",
        label="ether",
        formula="(C2H5)2O",
        molar_mass=74.12,
        kinds=_kinds("ether", "flammable"),
        aliases=("diethyl ether", "sulphuric ether", "ethyl ether"),
        cautions=(
            "Its vapour is heavier than air, creeps along the bench and catches fire far away: no flame, no "
            "spark, "
            "no hot plate in the room. Makes drowsy.",
            "Old ether forms explosive peroxides: keep it closed, dark and cool, and date it.",
        ),
    ),
    Substance(name="collodion", label="collodion", kinds=_kinds("ether", "alcohol", "flammable"),
              aliases=("plain collodion", "iodised collodion", "iodized collodion"),
              cautions=("Ether and alcohol: no flame in the room. Dried residue burns violently: never keep "
                        "it.",)),
    Substance(name="sandarac-varnish", label="sandarac varnish", kinds=_kinds("alcohol", "flammable"),
              aliases=("varnish",),
              cautions=("Burns when warmed over a flame: use a hot plate or hot air, and keep the bottle "
                        "closed and "
                        "a metre away.",)),
    Substance(name="lavender-oil", label="oil of lavender", kinds=_kinds("flammable"),
              aliases=("oil of lavender", "oil of spike"),
              cautions=("May cause an allergy of the skin; harms the lungs if swallowed.",)),
)  # fmt: skip
SUBSTANCES: dict[str, Substance] = {substance.name: substance for substance in _LISTED}
"""{name: substance}."""
_CALLED: dict[str, Substance] = {
    called: substance
    for substance in _LISTED
    for called in (
        substance.name,
        substance.name.replace("-", " "),
        substance.label.lower(),
        *substance.aliases,
    )
}


def known_as(words: str) -> Substance | None:
    """Return the substance of that name or alias, or None."""
    return _CALLED.get(" ".join(words.lower().split()))


def substance(words: str) -> Substance:
    """Return the substance of that name or alias. Raises NothingFound with the nearest right name."""
    found = known_as(words)
    if found is None:
        near = nearest(" ".join(words.lower().split()), _CALLED)
        hint = f" (did you mean '{near}'?)" if near else ""
        raise NothingFound(f"no substance is called '{words}' here{hint}")
    return found


def anhydrous_factor(hydrate: Substance) -> float:
    """Return the grams without water of crystals in a gram: 0.63706 for hypo, 1 where it holds none."""
    if hydrate.anhydrous is None or hydrate.molar_mass is None:
        return 1.0
    dry = SUBSTANCES[hydrate.anhydrous].molar_mass
    assert dry is not None
    return dry / hydrate.molar_mass


def silver_nitrate_used(salt: Substance) -> float | None:
    """Return the grams of silver nitrate that a gram of a halide takes, None for what is no halide."""
    silver = SUBSTANCES["silver-nitrate"].molar_mass
    if not salt.halides or salt.molar_mass is None or silver is None:
        return None
    return salt.halides * silver / salt.molar_mass


def cautions(words: str) -> tuple[str, ...]:
    """Return what must be said of a substance before it is handled, the supplier's sheet first.

    Nothing for what has no caution or is not known here.
    """
    found = known_as(words)
    return (SHEET_FIRST, *found.cautions) if found is not None and found.cautions else ()
