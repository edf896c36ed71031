"""What a proposal takes for granted, as sentences for the photographer. Pure."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from darkroom.exposure.daylight import ev_doubt
from darkroom.exposure.effects import Observed, describe, is_flash, kind_of, known_ev, light_name
from darkroom.exposure.judged import Conditions, LeftOut
from darkroom.exposure.light_kinds import EV_DOUBT

NO_TIME_BY_FLASH = "A flash gives its light at once, so there is no time."


def assumptions(observed: Sequence[Observed], left_out: Sequence[LeftOut], wanted: Conditions) -> list[str]:
    """Return what was assumed of the wanted plate, the weightiest first, each as a sentence."""
    return [*_plates(observed, left_out, wanted), *_light(observed, wanted), *_unknown(wanted)]


def _plates(observed: Sequence[Observed], left_out: Sequence[LeftOut], wanted: Conditions) -> list[str]:
    if not observed:
        practice = "a speed of about ISO 1 is common practice."
        if not left_out:
            return [f"No judged plate yet: {practice}"]
        ((reason, _),) = Counter(each.reason for each in left_out).most_common(1)
        return [f"No judged plate tells the speed ({reason}): {practice}"]
    said = []
    if not _seen(observed, wanted, "process"):
        said.append(f"No judged plate of {wanted.process}: those of other processes stand in.")
    for what, name in (("lens", wanted.lens), ("batch", wanted.batch)):
        if name and not _seen(observed, wanted, what):
            said.append(f"No judged plate with {name}.")
    return said


def _light(observed: Sequence[Observed], wanted: Conditions) -> list[str]:
    if is_flash(wanted):
        return [NO_TIME_BY_FLASH]
    kind, name, ev = kind_of(wanted), wanted.light or wanted.kind, known_ev(wanted)
    if not light_name(wanted) and ev is None:
        return ["The light is not known, so there is no time."]
    said = []
    if ev is None:
        plates = _seen(observed, wanted, "light")
        if plates:
            said.append(f"The brightness of {name} is learned from {_counted(plates)}.")
        elif kind is not None and kind.usual_ev is not None:
            said.append(f"How bright {name} is was never measured: taken as EV {kind.usual_ev:g}.")
        else:
            said.append(f"How bright {name} is was never measured.")
    elif wanted.ev_from == "light":
        said.append(f"The light is taken as EV {ev:.3g}, its usual value, {EV_DOUBT:g} stop in doubt.")
    elif wanted.ev_from == "sun":
        doubt = ev_doubt("sun", wanted.sky, kind.name if kind else None)
        said.append(f"The light is taken as EV {ev:.1f} from the height of the sun, {doubt:g} stop in doubt.")
    elif kind is None:
        said.append("What kind of light was metered is not known: taken as daylight.")
    return said


def _unknown(wanted: Conditions) -> list[str]:
    said = []
    if wanted.f_number is None:
        said.append("The f-number is not known, so there is no time.")
    missing = [
        text
        for text, value in (
            ("the lens", wanted.lens),
            ("the collodion", wanted.batch),
            ("the collodion's age", wanted.age),
            ("the developer's temperature", wanted.developer),
        )
        if value is None
    ]
    if missing:
        said.append(f"Not known, so the interval is wider: {', '.join(missing)}.")
    return said


def _seen(observed: Sequence[Observed], wanted: Conditions, what: str) -> int:
    """Return how many judged plates share this effect with the wanted plate."""
    keys = {term.key for term in describe(wanted).terms if term.key[0] == what}
    return sum(any(term.key in keys for term in each.described.terms) for each in observed)


def _counted(plates: int) -> str:
    return "1 plate" if plates == 1 else f"{plates} plates"
