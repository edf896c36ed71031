"""Names in options of the commands about exposure: stops of a lens, near misses of known names."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from darkroom.commands.exposure.options import value_of
from darkroom.exposure.judged import Conditions
from darkroom.exposure.kit import Kit


def f_number_of(option: str, text: str, kit: Kit, lens: str | None) -> float:
    """Return an f-number, or that of the lens's stop of this name. Raises WrongUse that names the option."""
    from darkroom.errors import WrongUse
    from darkroom.exposure.factors import f_number_at
    from darkroom.process.text.kit_words import as_f_number
    from darkroom.process.text.lens_words import aperture
    from darkroom.process.text.numbers import quoted

    named = kit.lens(lens)
    of_stop = None if named is None else value_of(option, text, lambda stop: f_number_at(named, stop))
    read = as_f_number(text) if of_stop is None else of_stop
    if read is None and named is not None and named.stops:
        stops = ", ".join(stop.name for stop in named.stops)
        raise WrongUse(
            f"{option}: {quoted(text)} is no f-number and no stop of {named.name}, which has {stops}"
        )
    return value_of(option, text, aperture) if read is None else read


def near_names(
    kit: Kit,
    plates: Iterable[Conditions],
    *,
    process: str | None = None,
    light: str | None = None,
    lens: str | None = None,
    collodion: str | None = None,
) -> Iterator[str]:
    """Yield a line for each name that is nearly one of the kit or of a judged plate."""
    from darkroom.exposure.near_names import near_name
    from darkroom.process.scene import LIGHT_KINDS
    from darkroom.process.text.numbers import quoted
    from darkroom.resources import shipped_processes

    judged = tuple(plates)
    known: dict[str, tuple[str | None, Iterable[str | None]]] = {
        "--process": (
            process,
            [*(path.stem for path in shipped_processes()), *(each.process for each in judged)],
        ),
        "--light": (
            light,
            [*(each.name for each in kit.lights), *LIGHT_KINDS, *(each.light for each in judged)],
        ),
        "--lens": (lens, [*(each.name for each in kit.lenses), *(each.lens for each in judged)]),
        "--collodion": (collodion, [each.batch for each in judged]),
    }
    for option, (typed, names) in known.items():
        near = near_name(typed, names)
        if near is not None:
            hint = f"(did you mean {quoted(near)}?)"
            yield f"{option}: no {option[2:]} is called {quoted(typed or '')} yet {hint}"
