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
    from darkroom.exposure.near_names import known_names, near_name
    from darkroom.process.text.numbers import quoted
    from darkroom.resources import shipped_processes

    known = known_names(kit, plates)
    known["process"] += [path.stem for path in shipped_processes()]
    typed = {"process": process, "light": light, "lens": lens, "collodion": collodion}
    for what, text in typed.items():
        near = near_name(text, known[what])
        if near is not None:
            hint = f"(did you mean {quoted(near)}?)"
            yield f"--{what}: no {what} is called {quoted(text or '')} yet {hint}"
