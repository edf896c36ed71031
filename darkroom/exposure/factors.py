"""What changes an exposure: f-number, bellows, light lost, another light; each in stops and as a multiplier.
Pure.

Lengths are in mm. Stops count exposure: 1 more is twice the time, and stops of an f-number are 2·log2 N.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import exp2, isfinite, log2

import msgspec

from darkroom.errors import QuantityError
from darkroom.exposure import light_kinds
from darkroom.exposure.kit import Lens
from darkroom.exposure.priors import AGE, OLDEST
from darkroom.process.scene import Scene
from darkroom.process.text.durations import show_short
from darkroom.process.text.lens_words import UNIFORM_SYSTEM, believed, of_uniform

LEAST_TIME, MOST_TIME = 1e-6, 1e7
"""Beyond these seconds something was mistyped."""
LONG = 60.0
"""From here on an exposure is called long, in seconds. Common practice, no source."""
LONG_SAYS = (
    "long: equal products of light and time are taken to do equal work (Roscoe 1864);",
    "what a wet plate loses at long times is not modelled, and it dries meanwhile",
)


class Factor(msgspec.Struct, frozen=True, kw_only=True):
    """A change of exposure: `what` it is of, as one word, `how` in words, `stops` more exposure."""

    what: str
    how: str
    stops: float

    @property
    def times(self) -> float:
        """By how many times the exposure is longer."""
        return exp2(self.stops)


class Planned(msgspec.Struct, frozen=True, kw_only=True):
    """A time and what made it of `base` seconds: the factors, whose product it is.

    `assumed` are sentences on what was taken for granted.
    """

    base: float
    seconds: float
    factors: tuple[Factor, ...]
    assumed: tuple[str, ...] = ()

    @property
    def stops(self) -> float:
        """The sum of the factors, in stops."""
        return sum(factor.stops for factor in self.factors)


def f_number(focal: float, diameter: float, front: float = 1.0) -> float:
    """Return the f-number of a stop: focal length over the diameter of the pupil that is seen from the front.

    `front` is the pupil magnification of the group before the stop. Raises QuantityError.
    """
    check_positive(("focal length", focal), ("diameter", diameter), ("front magnification", front))
    return focal / (diameter * front)


def f_number_at(lens: Lens, stop: str) -> float | None:
    """Return the f-number of a lens at its stop of this name, None where it has none or no size is known.

    Raises QuantityError for lengths that cannot be, and for an f-number that is not believed.
    """
    found = lens.stop(stop)
    if found is None or found.f_number is not None or found.diameter is None or lens.focal is None:
        return None if found is None else found.f_number
    return believed(f_number(lens.focal, found.diameter, lens.front))


def uniform_number(number: float) -> float:
    """Return the Uniform System's number of an f-number. Raises QuantityError."""
    check_positive(("f-number", number))
    return number * number / UNIFORM_SYSTEM


def f_number_of_uniform(number: float) -> float:
    """Return the f-number of a Uniform System's number. Raises QuantityError."""
    check_positive(("number", number))
    return of_uniform(number)


def bellows_factor(focal: float, extension: float) -> float:
    """Return by how many times a lens drawn out to an extension needs longer than at infinity: (e/f)².

    Raises QuantityError, also for an extension that is shorter than the focal length.
    """
    check_positive(("focal length", focal), ("extension", extension))
    if extension < focal:
        raise QuantityError(
            f"an extension of {extension:g} mm is shorter than the focal length of {focal:g} mm: "
            "nothing is sharp there"
        )
    return (extension / focal) ** 2


def magnification_factor(magnification: float) -> float:
    """Return by how many times longer a picture of this size of the thing itself needs: (1 + m)².

    Raises QuantityError.
    """
    check_positive(("magnification", magnification))
    return (1.0 + magnification) ** 2


def sharp_at(focal: float, distance: float) -> float | None:
    """Return the distance of the plate for a subject at a distance, and the other way: 1/(1/f − 1/d).

    Both are counted from a thin lens. None at infinity. Raises QuantityError for a distance within the focal
    length.
    """
    check_positive(("focal length", focal), ("distance", distance))
    if distance < focal:
        raise QuantityError(
            f"{distance:g} mm is nearer than the focal length of {focal:g} mm: nothing is sharp there"
        )
    return None if distance == focal else 1.0 / (1.0 / focal - 1.0 / distance)


def planned(seconds: float, known: Scene, wanted: Scene, others: Iterable[Factor] = ()) -> Planned:
    """Return the time that a scene wants, from a plate whose time and scene are known, and every factor.

    What is the same in both, or told of neither, changes nothing; light lost that is not told is none. A
    light whose EV is not told has the usual one of its kind, and `assumed` says so. `others` are further
    factors.
    Raises QuantityError where one scene tells what the other cannot be held against.
    """
    assumed: list[str] = []
    factors = (*_stop(known, wanted), *_light(known, wanted, assumed), *_lost(known, wanted), *others)
    if known.kind == wanted.kind == "flash":
        assumed.append("a flash gives its light at once: these stops are of its light, not of time")
    return product(seconds, factors, assumed)


def product(seconds: float, factors: Iterable[Factor], assumed: Iterable[str] = ()) -> Planned:
    """Return so many seconds times all factors. Raises QuantityError for a time that cannot be."""
    listed = tuple(factors)
    stops = sum(factor.stops for factor in listed)
    if not (isfinite(seconds) and seconds > 0):
        raise QuantityError(f"{seconds:g} s is no time to reckon from")
    if not log2(LEAST_TIME) <= log2(seconds) + stops <= log2(MOST_TIME):
        raise QuantityError(f"{stops:+.3g} stops from {show_short(seconds)} is no time that can be exposed")
    return Planned(base=seconds, seconds=seconds * exp2(stops), factors=listed, assumed=tuple(assumed))


def more_stops(stops: float) -> Factor:
    """Return the factor of so many stops more, as a judgement says it."""
    return Factor(what="stops", how="more" if stops >= 0 else "less", stops=stops)


def ageing(known: float, wanted: float) -> Factor:
    """Return the factor of a collodion that was so many days old and is so many now.

    It is what is believed of any collodion before a plate was judged (`priors.AGE`), to `priors.OLDEST` days.
    """
    days = min(wanted, OLDEST) - min(known, OLDEST)
    return Factor(what="age", how=f"{known:g} to {wanted:g} days", stops=-AGE.mean * days / 100)


def _stop(known: Scene, wanted: Scene) -> Iterator[Factor]:
    before, after = known.f_number, wanted.f_number
    if after is None or before == after:
        return
    if before is None:
        raise QuantityError(f"its f-number is not known, so its time tells nothing of f/{after:.3g}")
    check_positive(("f-number", before), ("f-number", after))
    yield Factor(what="stop", how=f"f/{before:.3g} to f/{after:.3g}", stops=2 * log2(after / before))


def _light(known: Scene, wanted: Scene, assumed: list[str]) -> Iterator[Factor]:
    if all(getattr(known, name) == getattr(wanted, name) for name in ("light", "kind", "ev", "ev_from")):
        return
    before, after = _brightness(known, assumed), _brightness(wanted, assumed)
    if before != after:
        if before is None or after is None:
            which, light = ("the light it was made in", known) if before is None else ("the light", wanted)
            named = f" ({light.light})" if light.light else ""
            raise QuantityError(f"{which}{named} has no EV and no usual one: tell the EV")
        yield Factor(what="ev", how=f"EV {before:.3g} to {after:.3g}", stops=before - after)
    colour = light_kinds.offset(known.kind, known.ev_from) - light_kinds.offset(wanted.kind, wanted.ev_from)
    if colour and known.kind and wanted.kind:
        same = known.kind == wanted.kind
        how = "a meter against the sun's table" if same else f"{known.kind} to {wanted.kind}, by its colour"
        yield Factor(what="light", how=how, stops=colour)


def _brightness(scene: Scene, assumed: list[str]) -> float | None:
    """Return the EV of a scene, else the usual one of its kind, which is noted as assumed."""
    kind = light_kinds.light_kind(scene.kind)
    if scene.ev is not None or kind is None or kind.usual_ev is None:
        return scene.ev
    sentence = f"{kind.name}: EV {kind.usual_ev:g} assumed, its usual light, about a stop in doubt"
    if sentence not in assumed:
        assumed.append(sentence)
    return kind.usual_ev


def _lost(known: Scene, wanted: Scene) -> Iterator[Factor]:
    for what in ("bellows", "filter", "other"):
        before, after = (getattr(scene, what) or 0.0 for scene in (known, wanted))
        if before != after:
            how = f"{before:.3g} to {after:.3g} stops lost" if before else "light lost"
            yield Factor(what=what, how=how, stops=after - before)


def check_positive(*named: tuple[str, float]) -> None:
    """Raise QuantityError for the first of (name, value) that is not more than 0 and finite."""
    for name, value in named:
        if not (isfinite(value) and value > 0):
            raise QuantityError(f"the {name} is {value:g}: it must be more than 0")
