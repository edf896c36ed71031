"""Finding a fault or a cause by the word that was typed. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from darkroom.errors import NothingFound, harmless, nearest
from darkroom.faults.catalogue import Catalogue, Cause, Fault, name_key


def find_cause(catalogue: Catalogue, word: str) -> Cause:
    """Return the cause of an id or label, in any case. Raises NothingFound with the nearest right name."""
    found = catalogue.cause(word)
    if found is None:
        raise NothingFound(f"there is no cause '{_shown(word)}'{_hint(word, catalogue.causes)}")
    return found


def find_either(catalogue: Catalogue, word: str) -> tuple[Fault | None, Cause | None]:
    """Return (fault, None) or (None, cause) of an id or label. Raises NothingFound with the nearest names."""
    fault = catalogue.fault(word)
    cause = catalogue.cause(word) if fault is None else None
    if fault is None and cause is None:
        hint = _hint(word, {**catalogue.causes, **catalogue.faults})
        raise NothingFound(f"there is no fault and no cause '{_shown(word)}'{hint}")
    return fault, cause


def near_names(word: str, entries: Mapping[str, Fault | Cause]) -> tuple[str, ...]:
    """Return the ids that a wrong word may mean: the nearest name's, else those whose names hold the word."""
    key = name_key(word)
    names = {name.casefold(): entry.id for entry in entries.values() for name in (entry.label, entry.id)}
    near = nearest(key, names)
    if near is not None:
        return (names[near],)
    return tuple(dict.fromkeys(names[name] for name in names if key and key in name))


def did_you_mean(entries: Mapping[str, Fault | Cause], words: Iterable[str]) -> str:
    """Return " (did you mean 'general fog'?)" for wrong words; "" where none is near a name."""
    near = dict.fromkeys(name for word in words for name in near_names(word, entries))
    return f" (did you mean {' or '.join(map(repr, [*near][:5]))}?)" if near else ""


def _hint(word: str, entries: Mapping[str, Fault | Cause]) -> str:
    return did_you_mean(entries, (word,)) or ": darkroom fault list shows them"


def _shown(word: str) -> str:
    return harmless(word[:40])
