"""The bottles of a plate as they were when it used them, from the book and from the plates before it."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from darkroom.faults.history import BottleThen
from darkroom.log.catalogue.database import repairing
from darkroom.log.catalogue.row_sums import damaged, sound
from darkroom.solutions import clearing
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import DAY, Bottle, fold
from darkroom.solutions.bottle_strength import strength_of
from darkroom.solutions.care import recipe_of
from darkroom.solutions.joining import join
from darkroom.solutions.plate_use import PlateUse
from darkroom.solutions.recipe import Recipe, name_key
from darkroom.solutions.uses import Use

if TYPE_CHECKING:
    from darkroom.log.catalogue.catalogue import Catalogue

COUNTED_FROM = ("filtered", "sunned", "topped_up", "boiled_down", "opened")
"""What plates are counted from, beside the making."""
IODISED_BY = 10
"""Plates iodise a bath too: after so many nobody knows of one that was never iodised (our own choice)."""
AT_ONCE = 300
"""The uses of so many plates or bottles are selected at once; older SQLite takes at most 999 values."""


class BottlesThen:
    """Answers which bottles a plate had, and how they were; the bottles of some plates alone are known."""

    def __init__(
        self,
        own_uses: Sequence[PlateUse],
        all_uses: Sequence[PlateUse],
        bottles: Mapping[str, Bottle],
        recipes: Mapping[str, Recipe],
        sizes: Mapping[str, float] | None = None,
    ) -> None:
        """Join them; `own_uses` are those of the plates that will be asked for.

        `all_uses` are all uses of their bottles, `recipes` those at hand, `sizes` as `joining.join` has them.
        """
        self._bottles, self._recipes = bottles, recipes
        self._uses = {
            bottle: uses for bottle, uses in join(all_uses, bottles.values(), sizes).uses.items() if uses
        }
        self._firsts = {bottle: _first_instants(uses) for bottle, uses in self._uses.items()}
        self._own: dict[str, dict[str, PlateUse]] = {}
        for use in sorted(own_uses, key=lambda use: use.instant):
            self._own.setdefault(use.plate, {}).setdefault(use.role, use)
        self._joined = {
            (use.plate, use.role): use for uses in self._uses.values() for use in reversed(uses)
        }  # the first use of a plate in a role is the last to enter

    def of(self, plate: str, whole: bool) -> dict[str, BottleThen]:
        """Return {role: its bottle} of a plate, in the order of its stages.

        The strength and the fresh fixer's clearing time are told where `whole`: they take longer.
        """
        return {role: self._then(use, whole) for role, use in self._own.get(plate, {}).items()}

    def _then(self, named: PlateUse, whole: bool) -> BottleThen:
        use = self._joined.get((named.plate, named.role))
        if use is None:
            return BottleThen(name=named.name or named.bottle or "", id=named.bottle)
        bottle = self._bottles[use.bottle]
        firsts = self._firsts[bottle.id]
        own_first = bisect_left(firsts, (_first_of(self._uses[bottle.id], use.plate), ""))
        last = _last_before(bottle, use.instant)
        since = {
            what: own_first - bisect_left(firsts, (last[what], ""), 0, own_first)
            for what in COUNTED_FROM
            if what in last
        }
        made_here = not bottle.used
        plates = own_first if made_here else None
        return BottleThen(
            name=bottle.name,
            id=bottle.id,
            age_days=max(0.0, use.instant - bottle.made) / DAY,
            plates=plates,
            since=since,
            changed={what: instant for what, instant in last.items() if what in _CHANGES},
            iodised=_iodised(bottle, last, own_first),
            percent=self._percent(bottle, use) if whole and bottle.what == "bath" else None,
            fresh_clearing=self._fresh(bottle, use) if whole and bottle.what == "fixer" else None,
        )

    def _percent(self, bottle: Bottle, use: Use) -> float | None:
        """Return the strength that the book told when the plate went in."""
        then = fold(bottle.id, [entry for entry in bottle.entries if entry.instant <= use.instant])
        if then is None:
            return None
        earlier = [other for other in self._uses[bottle.id] if other.instant < use.instant]
        recipe, _ = recipe_of(bottle, self._recipes)
        strength = strength_of(then, earlier, None if recipe is None else recipe.of)
        return None if strength is None else strength.percent_wv

    def _fresh(self, bottle: Bottle, use: Use) -> float | None:
        """Return the clearing time of this fixer when it was fresh; None for one of its first plates."""
        ratio = clearing.ratio(use, self._uses[bottle.id])
        return None if not ratio or use.cleared is None else use.cleared / ratio


_CHANGES = frozenset((*ev.TREATMENTS, "topped_up"))
"""What alters a bottle's content, or clears it."""


def _first_instants(uses: Iterable[Use]) -> list[tuple[float, str]]:
    """Return (instant of its first use, plate) of each plate, ascending; `uses` are the oldest first."""
    first: dict[str, float] = {}
    for use in uses:
        first.setdefault(use.plate, use.instant)
    return sorted((instant, plate) for plate, instant in first.items())


def _first_of(uses: Sequence[Use], plate: str) -> float:
    return next(use.instant for use in uses if use.plate == plate)


def _last_before(bottle: Bottle, instant: float) -> dict[str, float]:
    """Return {what was done: when it was done last} of what had happened to a bottle by an instant."""
    last: dict[str, float] = {}
    for entry in bottle.entries:
        if entry.instant > instant:
            break
        event = entry.event
        if isinstance(event, ev.Treated):
            last[event.how] = entry.instant
        elif isinstance(event, ev.ToppedUp):
            last["topped_up"] = entry.instant
        elif isinstance(event, ev.Opened):
            last["opened"] = entry.instant
    return last


def _iodised(bottle: Bottle, last: Mapping[str, float], plates: int) -> bool | None:
    """Return whether a bath was iodised by then; the plates of one that came used into the book did that."""
    if bottle.what != "bath":
        return None
    if "iodised" in last or bottle.used:
        return True
    return False if plates < IODISED_BY else None


@repairing
def bottles_then(
    log: Catalogue,
    plates: Collection[str],
    count: int,
    bottles: Mapping[str, Bottle],
    recipes: Mapping[str, Recipe],
    sizes: Mapping[str, float] | None = None,
) -> BottlesThen:
    """Return the bottles of plates (first files, as the catalogue's `path`) as they were.

    Only the uses of their own bottles are read, so that a long log costs no more than a short one. The
    plates have so many uses in all (`count`): with another number the catalogue is damaged, and filled anew.
    """
    own = _uses(log, "path", plates)
    if len(own) != count:
        raise damaged()
    ids = {use.bottle for use in own if use.bottle is not None}
    names = {name_key(use.name) for use in own if use.bottle is None and use.name}
    ids |= {bottle.id for bottle in bottles.values() if name_key(bottle.name) in names}
    named = {name for name in names if any(name_key(bottle.name) == name for bottle in bottles.values())}
    spelt = [
        name for (name,) in (log.few(_NAMES) if named else ()) if name is not None and name_key(name) in named
    ]
    of_bottles = [*_uses(log, "bottle", ids), *_uses(log, "bottle IS NULL AND name", spelt)]
    read = set(of_bottles)
    if any(use not in read for use in own if use.bottle is not None or use.name in spelt):
        raise damaged()
    return BottlesThen(own, of_bottles, bottles, recipes, sizes)


_NAMES = """
WITH RECURSIVE names (name) AS (
    SELECT min(name) FROM uses WHERE bottle IS NULL
    UNION ALL
    SELECT (SELECT min(name) FROM uses WHERE bottle IS NULL AND name > names.name)
    FROM names WHERE names.name IS NOT NULL
)
SELECT name FROM names WHERE name IS NOT NULL
"""
"""Every name of a bottle without an id, once: one step in the index a name, however many plates have it."""


def _uses(log: Catalogue, column: str, values: Collection[object]) -> list[PlateUse]:
    """Return the uses of which a column has one of the values."""
    wanted, found = list(values), list[PlateUse]()
    for start in range(0, len(wanted), AT_ONCE):
        some = wanted[start : start + AT_ONCE]
        sql = f"SELECT * FROM uses WHERE {column} IN ({', '.join('?' * len(some))}) ORDER BY path, position"
        found += (PlateUse(*row[2:]) for row in sound(log.few(sql, some)))
    return found
