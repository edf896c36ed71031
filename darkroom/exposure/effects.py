"""What a plate's measured speed is made of, as terms of a linear model, in stops. Pure.

With N the f-number, t the seconds given, L the stops of light lost and EV the light at ISO 100, the measured
speed is log2 of 100·N²·2^L / (t·2^EV). It is the sum of

    speed + process + lens + age of the collodion + warmth of the developer + kind of light + batch
    + day + plate

and, where no EV is told, of the EV of that light too: a level of its own for every name of a light. A term
that is not known is left out, and its prior variance counts as doubt of that one plate. The day's part and
the plate's own are no terms: they are known by their variances alone.
"""

from __future__ import annotations

from math import isfinite, log2, sqrt

import msgspec

from darkroom.exposure import priors
from darkroom.exposure.daylight import ev_doubt
from darkroom.exposure.judged import Conditions, JudgedPlate
from darkroom.exposure.light_kinds import LightKind, light_kind
from darkroom.exposure.priors import Prior

Key = tuple[str, str]
"""What a term is of, and its name: ("lens", "petzval")."""

METERED_COLOUR = Prior(0.0, 0.5)
"""The offset of a metered light whose kind is not known: daylight through something, as a window's."""


class Term(msgspec.Struct, frozen=True):
    """A term of the model: `at` times a value that has this prior before any plate was judged."""

    key: Key
    prior: Prior
    at: float = 1.0


class Described(msgspec.Struct, frozen=True, kw_only=True):
    """Conditions as terms: those of the speed, and those of the light's EV where it has none.

    `ev` is the EV the sum reckons with, 0 where `light` holds its level, None where nothing at all is known
    of the light. `doubt` is the variance of what is not known.
    """

    speed: tuple[Term, ...]
    light: tuple[Term, ...]
    doubt: float
    ev: float | None

    @property
    def terms(self) -> tuple[Term, ...]:
        """All terms of a plate's measured speed."""
        return self.speed + self.light


class Observed(msgspec.Struct, frozen=True, kw_only=True):
    """A judged plate as an observation: its right speed is between `low` and `high`, it got `given`."""

    plate: JudgedPlate
    described: Described
    given: float
    low: float
    high: float


def describe(conditions: Conditions) -> Described:
    """Return the terms of a plate under these conditions."""
    terms = [Term(("speed", ""), priors.SPEED), Term(("process", _name(conditions.process)), priors.PROCESS)]
    doubt = 0.0
    lens, batch = _name(conditions.lens), _name(conditions.batch)
    if lens:
        terms.append(Term(("lens", lens), priors.LENS))
    else:
        doubt += priors.LENS.variance
    if batch:
        terms.append(Term(("batch", batch), priors.BATCH))
    else:
        doubt += priors.BATCH.variance
    if conditions.age is not None and isfinite(conditions.age):
        hundreds = min(max(conditions.age, 0.0), priors.OLDEST) / 100
        terms.append(Term(("age", ""), priors.AGE, hundreds))
    else:
        doubt += priors.AGE.variance
    if conditions.developer is not None and isfinite(conditions.developer):
        celsius = min(max(conditions.developer, priors.COLDEST), priors.WARMEST)
        tens = (celsius - priors.USUAL_CELSIUS) / 10
        terms.append(Term(("warmth", ""), priors.WARMTH, tens))
    else:
        doubt += priors.WARMTH.variance
    kind = kind_of(conditions)
    ev = known_ev(conditions)
    light: tuple[Term, ...] = ()
    if is_flash(conditions):
        ev = None  # it gives its light at once, however long the lens is open
    elif ev is None:
        name = light_name(conditions)
        if name:
            light = (Term(("light", f"{name} {kind.name if kind else ''}".strip()), _level(kind)),)
            ev = 0.0
            terms += _colour(kind)
    elif conditions.ev_from == "sun":
        # the table of light is in stops of the plate: the light's colour is in there
        doubt += ev_doubt("sun", conditions.sky, kind.name if kind else None) ** 2
    else:
        own = _own_usual(conditions, kind)
        terms += own
        doubt += ev_doubt(conditions.ev_from) ** 2 - sum(term.prior.variance for term in own)
        if kind is not None:
            terms += _colour(kind)
        elif name := light_name(conditions):
            terms.append(Term(("kind", name), METERED_COLOUR))
        else:
            doubt += METERED_COLOUR.variance
    return Described(speed=tuple(terms), light=light, doubt=doubt, ev=ev)


def observe(plate: JudgedPlate) -> Observed | str:
    """Return the plate as an observation, or in a few words why it says nothing of the speed."""
    conditions = plate.conditions
    constant = light_constant(conditions)
    if constant is None:
        return "its f-number is not known"
    if not (isfinite(plate.given) and plate.given > 0):
        return "its exposure is not known"
    if is_flash(conditions):
        return "lit by flash"
    if not plate.low <= plate.high or (plate.low == plate.high and not isfinite(plate.low)):
        return "its judgement is no interval"
    if not (isfinite(plate.low) or isfinite(plate.high)):
        return "its judgement is open to both sides"
    if known_ev(conditions) is None and not light_name(conditions):
        return "its light is not known"
    described = describe(conditions)
    assert described.ev is not None
    given = constant - log2(plate.given) - described.ev
    return Observed(
        plate=plate, described=described, given=given, low=given - plate.high, high=given - plate.low
    )


def light_constant(conditions: Conditions) -> float | None:
    """Return log2 of 100·N²·2^L, None without a usable f-number."""
    number, lost = conditions.f_number, conditions.lost
    if number is None or not (isfinite(number) and number > 0 and isfinite(lost)):
        return None
    return log2(100) + 2 * log2(number) + lost


def kind_of(conditions: Conditions) -> LightKind | None:
    """Return the kind of the light: as told, else the light's own name where that is a kind."""
    return light_kind(conditions.kind) or light_kind(conditions.light)


def is_flash(conditions: Conditions) -> bool:
    """Return whether the light is a flash: its exposure is no matter of time."""
    kind = kind_of(conditions)
    return kind is not None and kind.name == "flash"


def known_ev(conditions: Conditions) -> float | None:
    """Return the EV as told, else the usual one of the kind where it says it is from the light."""
    if conditions.ev is not None and isfinite(conditions.ev):
        return conditions.ev
    kind = kind_of(conditions)
    return kind.usual_ev if kind is not None and conditions.ev_from == "light" else None


def light_name(conditions: Conditions) -> str:
    """Return the name of the light, or of its kind, in one form; "" where none is told."""
    return _name(conditions.light) or _name(conditions.kind)


def _own_usual(conditions: Conditions, kind: LightKind | None) -> list[Term]:
    """Return by how much a light that returns differs from its usual EV each time.

    A light returns that has a name of its own, or whose place is told: the window of that place.
    """
    name, place = light_name(conditions), _name(conditions.place)
    if conditions.ev_from != "light" or not name or (not place and kind is not None and name == kind.name):
        return []
    return [Term(("usual", f"{name} {place}".strip()), priors.OWN_USUAL)]


def _colour(kind: LightKind | None) -> list[Term]:
    return [] if kind is None else [Term(("kind", kind.name), Prior(kind.offset, kind.doubt))]


def _level(kind: LightKind | None) -> Prior:
    """Return the prior of the EV of a named light; with the offset of its kind it is 1.5 stops in doubt."""
    if kind is None:
        return priors.UNKNOWN_LIGHT
    if kind.usual_ev is None:
        return Prior(priors.UNKNOWN_LIGHT.mean, sqrt(priors.UNKNOWN_LIGHT.variance - kind.doubt**2))
    return Prior(kind.usual_ev, sqrt(priors.NAMED_LIGHT_SD**2 - kind.doubt**2))


def _name(text: str | None) -> str:
    return " ".join((text or "").casefold().split())
