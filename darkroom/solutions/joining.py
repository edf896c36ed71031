"""Which bottle a plate used. Pure.

A plate names a bottle by id, and then it is that one; or, as older ones do, by name alone: then it is the
one bottle of that name with a fitting content that was alive when the stage began, made and not yet
discarded. Where none or several answer, which one it was is not known, and no bottle counts the plate. It is
decided anew at each question, so a bottle entered late in the book finds its plates.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from operator import attrgetter

import msgspec

from darkroom.process.uses import content_of
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import Bottle
from darkroom.solutions.plate_use import PlateUse
from darkroom.solutions.recipe import name_key
from darkroom.solutions.uses import Use


class NotKnown(msgspec.Struct, frozen=True, kw_only=True):
    """A plate names a bottle, and which one that is, is not known; `why` says why in words."""

    plate: str
    number: int
    role: str
    name: str
    why: str


class Joined(msgspec.Struct, frozen=True, kw_only=True):
    """{bottle id: the plates that used it, oldest first} for every bottle, and the uses of no bottle."""

    uses: dict[str, tuple[Use, ...]]
    not_known: tuple[NotKnown, ...] = ()


def join(
    plate_uses: Iterable[PlateUse], bottles: Iterable[Bottle], sizes: Mapping[str, float] | None = None
) -> Joined:
    """Return which plates used which of the bottles.

    `sizes` are {name of a size, as `name_key` has it: cm²}, the photographer's own names: they win over what
    was made of the words.
    """
    book = BottlesByName(bottles)
    areas = dict(sizes or {})
    found: dict[str, list[Use]] = {bottle: [] for bottle in book.by_id}
    not_known: list[NotKnown] = []
    for use in plate_uses:
        bottle, why = book.find(use)
        if bottle is None:
            not_known.append(
                NotKnown(
                    plate=use.plate,
                    number=use.number,
                    role=use.role,
                    name=use.name or use.bottle or "",
                    why=why,
                )
            )
            continue
        found[bottle].append(
            Use(
                plate=use.plate,
                number=use.number,
                bottle=bottle,
                role=use.role,
                stage=use.stage,
                instant=use.instant,
                seconds=use.seconds,
                cleared=use.cleared,
                area=areas.get(name_key(use.size), use.area) if areas and use.size else use.area,
                celsius=use.celsius,
            )
        )
    for uses in found.values():
        uses.sort(key=attrgetter("instant"))
    return Joined(
        uses={bottle: tuple(uses) for bottle, uses in found.items()},
        not_known=tuple(not_known),
    )


class BottlesByName:
    """The bottles of a book by id, and by content and name."""

    def __init__(self, bottles: Iterable[Bottle]) -> None:
        self.by_id: dict[str, Bottle] = {}
        self._by_name: dict[tuple[str, str], list[Bottle]] = {}
        self._named: dict[tuple[str, str], list[Bottle]] = {}
        self._lives: dict[str, list[tuple[float, bool]]] = {}
        for bottle in bottles:
            self.by_id[bottle.id] = bottle
            self._by_name.setdefault((bottle.what, name_key(bottle.name)), []).append(bottle)
            self._lives[bottle.id] = life(bottle)

    def find(self, use: PlateUse) -> tuple[str | None, str]:
        """Return (the id of the bottle that a plate used, ""), or (None, why it is not known)."""
        if use.bottle is not None:
            if use.bottle in self.by_id:
                return use.bottle, ""
            return None, f"the book has no bottle {use.bottle}"
        said = (use.role, use.name or "")
        named = self._named.get(said)
        if named is None:
            named = self._by_name.get((content_of(use.role), name_key(use.name)), [])
            self._named[said] = named
        alive = [bottle.id for bottle in named if _is_alive(self._lives[bottle.id], use.instant)]
        if len(alive) == 1:
            return alive[0], ""
        if alive:
            return None, f"{len(alive)} bottles of this name were alive then"
        return (
            None,
            "no bottle of this name was alive then" if named else "the book has no bottle of this name",
        )


def life(bottle: Bottle) -> list[tuple[float, bool]]:
    """Return (instant, whether the bottle is alive from then on): made, discarded, taken up after all.

    A bottle that was set aside is alive.
    """
    changes = [
        (entry.instant, isinstance(entry.event, ev.TakenUp))
        for entry in bottle.entries
        if isinstance(entry.event, ev.Discarded | ev.TakenUp)
    ]
    return [(bottle.made, True), *(change for change in changes if change[0] >= bottle.made)]


def _is_alive(changes: list[tuple[float, bool]], instant: float) -> bool:
    alive = False
    for since, lives in changes:
        if since > instant:
            break
        alive = lives
    return alive
