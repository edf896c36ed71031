"""What the options of `darkroom strength` say, read to a strength and a mixture."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, NamedTuple

from darkroom.commands.exposure.options import number, value_of
from darkroom.errors import WrongUse, nearest
from darkroom.process.text.temperatures import temperature
from darkroom.solutions import hydrometer, mixing
from darkroom.solutions import strength as strengths
from darkroom.solutions.density import SOLUTES
from darkroom.solutions.grains import Ounce
from darkroom.solutions.strength import Strength
from darkroom.solutions.substances import known_as

ALCOHOL = "alcohol"
"""The one substance that is counted by volume; its sums are of their own (`strength_spirit`)."""
_SCALES = {"--density": "density", "--sg": "sg", "--sg-60f": "sg-60f", "--baume": "baume"}
"""{option: the scale of a hydrometer that it is a reading of}."""
_GRAINS: dict[str, Ounce] = {"--grains-per-us-ounce": "US", "--grains-per-imperial-ounce": "imperial"}
_ASSAY = "--assay"
WAYS = (*_SCALES, "--percent", "--mass-percent", *_GRAINS, _ASSAY)
"""The options that tell a strength; one of them is needed."""
_SILVER_HYDROMETERS: dict[Ounce, str] = {"US": "silver-us", "imperial": "silver-imperial"}

percent = number(1e-6, 100, "per cent")
_positive = number(1e-6, 1e6, "a number")


class Known(NamedTuple):
    """A strength as it was told: `read` from a hydrometer, or `assayed`; and what was `took` for granted."""

    strength: Strength
    took: tuple[str, ...]
    read: bool = False
    assayed: bool = False


class Mixture(NamedTuple):
    """What brings `volume` mL to the strength `wanted`, with a `stock` or with crystals and water."""

    volume: float
    wanted: Strength
    stock: Strength | None
    addition: mixing.Addition
    took: tuple[str, ...]


def named_substance(name: str) -> str:
    """Return the name of a substance with a density table. Raises WrongUse with the nearest right one."""
    word = "-".join(name.lower().split())
    called = known_as(name)
    if word in SOLUTES or (called is not None and called.name in SOLUTES):
        return word if called is None else called.name
    known = (*SOLUTES, ALCOHOL)
    near = nearest(word, known)
    hint = f"did you mean '{near}'?" if near else f"there are {', '.join(known)}"
    raise WrongUse(f"no substance '{name}' with a density table ({hint})")


def known_strength(
    substance: str,
    given: Mapping[str, str],
    at: str | None = None,
    marked: str | None = None,
    ounce_of: str | None = None,
    sample: str | None = None,
) -> Known:
    """Return the strength that one option tells: `given` is {option: its text}.

    Raises QuantityError, WrongUse, BeyondTable.
    """
    if len(given) != 1:
        if given:
            raise WrongUse(f"how strong is it? {' and '.join(given)} are given: one of them is enough")
        raise WrongUse(f"how strong is it? one of {', '.join(WAYS)} is needed")
    ((option, text),) = given.items()
    if option not in WAYS:
        raise WrongUse(f"{option} goes with alcohol, not with {substance}")
    if ounce_of == "water" and option not in _GRAINS:
        raise WrongUse(f"--of water goes with grains to the ounce, not with {option}")
    if sample is not None and option != _ASSAY:
        raise WrongUse(f"--sample goes with {_ASSAY}, not with {option}")
    if option in _SCALES:
        return _by_hydrometer(substance, option, text, _SCALES[option], at, marked)
    if option in _GRAINS and at is not None:
        if substance != "silver-nitrate" or ounce_of == "water":
            what = "of water" if ounce_of == "water" else f"of {substance}"
            raise WrongUse(f"--at: no hydrometer reads grains {what}; it goes with a hydrometer's reading")
        return _by_hydrometer(substance, option, text, _SILVER_HYDROMETERS[_GRAINS[option]], at, marked)
    if at is not None or marked is not None:
        raise WrongUse(
            f"{'--marked' if at is None else '--at'} goes with a hydrometer's reading, not with {option}: "
            "what is weighed is the same at any temperature"
        )
    if option == _ASSAY:
        return _by_assay(substance, text, sample)
    if option in _GRAINS:
        ounce, of_water = _GRAINS[option], ounce_of == "water"
        found = strengths.of_grains(substance, value_of(option, text, _positive), ounce, of_water=of_water)
        took = f"grains to the {ounce} fluid ounce of {'water' if of_water else 'finished solution'}"
    elif option == "--percent":
        which: list[str] = []
        found = _by_volume(substance, option, text, which)
        took = "; ".join(which) or "grams in 100 mL of solution at 20 °C"
    else:
        found = strengths.of_mass_percent(substance, share(option, text, "mass per cent"))
        took = "grams in 100 g of solution"
    return Known(found, (took,))


def _by_hydrometer(
    substance: str, option: str, text: str, scale: str, at: str | None, marked: str | None
) -> Known:
    found = hydrometer.read_hydrometer(
        SOLUTES[substance],
        value_of(option, text, _positive),
        hydrometer.scale(scale),
        None if at is None else value_of("--at", at, temperature),
        None if marked is None else value_of("--marked", marked, temperature),
    )
    return Known(strengths.of_density(substance, found.density_20), found.took, read=True)


def _by_assay(substance: str, text: str, sample: str | None) -> Known:
    """Return the strength of a bath whose silver chloride was weighed."""
    from darkroom.process.text.measures import mass
    from darkroom.solutions.assay import BOOK_FACTOR, FACTOR, silver_by_chloride

    if substance != "silver-nitrate":
        raise WrongUse(f"{_ASSAY} is the assay of silver-nitrate, not of {substance}")
    if sample is None:
        raise WrongUse(f"{_ASSAY}: of how much of the bath? --sample is needed")
    took: list[str] = []
    chloride, taken = value_of(_ASSAY, text, mass), read_volume("--sample", sample, took)
    book = silver_by_chloride(chloride, taken, BOOK_FACTOR).percent_wv
    took.append(
        f"silver chloride times {FACTOR:.4f}; by the old books' {BOOK_FACTOR:g} it is {book:.2f} % w/v"
    )
    return Known(silver_by_chloride(chloride, taken), tuple(took), assayed=True)


def mixture(
    known: Known, to: str | None, dilute: str | None, volume: str | None, fill: str | None, stock: str | None
) -> Mixture | None:
    """Return what brings a volume to a strength, None where none is wanted.

    Raises QuantityError, WrongUse, CannotMix.
    """
    if to is None and dilute is None:
        if volume is None and fill is None and stock is None:
            return None
        raise WrongUse("--volume, --fill and --stock say what is mixed: --to tells the strength wanted")
    if volume is None:
        raise WrongUse(f"{'--to' if dilute is None else '--dilute'}: how much is there? --volume is needed")
    took: list[str] = []
    if to is None or dilute is not None:
        return _diluted(known, str(dilute), volume, (to, fill, stock))
    substance = known.strength.substance
    there = read_volume("--volume", volume, took)
    final = None if fill is None else read_volume("--fill", fill, took)
    wanted = _by_volume(substance, "--to", to, took)
    added = None if stock is None else _by_volume(substance, "--stock", stock, took)
    addition = mixing.bring_to(there, known.strength, wanted, final=final, stock=added)
    return Mixture(volume=there, wanted=wanted, stock=added, addition=addition, took=tuple(took))


def _diluted(known: Known, dilute: str, volume: str, others: tuple[str | None, ...]) -> Mixture:
    """Return what a dilution by parts comes to."""
    from darkroom.process.text.measures import dilution

    if any(text is not None for text in others):
        raise WrongUse("--dilute says what is made of it: --to, --fill and --stock do not go with it")
    took: list[str] = []
    there = read_volume("--volume", volume, took)
    thin, addition = mixing.by_parts(there, known.strength, value_of("--dilute", dilute, dilution))
    return Mixture(volume=there, wanted=thin, stock=None, addition=addition, took=tuple(took))


def _by_volume(substance: str, option: str, text: str, took: list[str]) -> Strength:
    """Return the strength of `9`, `9 %` or a concentration with its unit; which ounce is noted."""
    if any(sign.isalpha() for sign in text):
        from darkroom.process.text.measures import read

        found = value_of(option, text, lambda typed: read(typed, "concentration"))
        took += [] if found.took is None or found.took in took else [found.took]
        return strengths.of_grams_per_litre(substance, found.value)
    return strengths.of_percent_wv(substance, value_of(option, bare_number(text), percent))


def share(option: str, text: str, kind: Literal["mass per cent", "volume per cent"]) -> float:
    """Return per cent by mass or by volume; the option says of which, unless the text does."""
    if any(sign.isalpha() for sign in text):
        from darkroom.process.text.measures import read

        return value_of(option, text, lambda typed: read(typed, kind)).value
    return value_of(option, bare_number(text), percent)


def read_volume(option: str, text: str, took: list[str]) -> float:
    """Return mL, and note which ounce was taken."""
    from darkroom.process.text.measures import read

    found = value_of(option, text, lambda typed: read(typed, "volume"))
    if found.took is not None and found.took not in took:
        took.append(found.took)
    return found.value


def bare_number(text: str) -> str:
    """Return a number without the sign for per cent."""
    return text.strip().removesuffix("%")
