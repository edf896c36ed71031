"""The rated plates behind the trends of stars: what each says in numbers and in words. Pure."""

from __future__ import annotations

from array import array
from collections import Counter, defaultdict
from collections.abc import Callable, Sequence
from typing import Any

from darkroom.log.catalogue.trend_plates import MOST
from darkroom.log.trends.facts import Key, Rows
from darkroom.log.trends.plate_columns import PlateColumns, members
from darkroom.log.trends.stage_times import ByStar

Rating = tuple[str, int]
"""(process, stars)."""
Thing = tuple[str, str, str]
"""(process, thing, unit)."""
_THINGS = (
    ("exposure", "s"),
    ("humidity", "%"),
    ("temperature of the room", "°C"),
    ("wet time used", "s"),
    ("share of the wet window used", ""),
)


class RatedPlates:
    """What the rated plates of some rows say.

    `plates` is how many there are. `numbers` are their values by
    thing and stars; `assumed` counts by thing the plates whose value was assumed, or worked out from what
    was. `words` are {thing: how often (word as typed, stars) stands}, in the order of the plates.
    """

    def __init__(self, rows: Rows) -> None:
        self.plates = 0
        self._ratings: list[Rating | None] = [None]
        by_place = isinstance(rows.plates, PlateColumns)
        self._places: Any = array("I", bytes(4 * len(rows.plates))) if by_place else defaultdict(int)
        """The place of each plate's rating in `_ratings`, by what tells the plate."""
        self.numbers: dict[Thing, ByStar] = {}
        self.assumed = Counter[Thing]()
        puts: dict[tuple[str | None, int], tuple[int, _Puts]] = {}
        rooms, unseen, most = rows.rooms, rows.unseen, MOST
        places = self._places
        for path, stars, process, exposed, wet, wet_about, humidity, source, estimated in members(
            rows.plates, "path", "stars", "process", "exposed", "wet_used", "wet_about", "humidity",
            "humidity_from", "estimated",
        ):  # fmt: skip
            if stars is None:
                continue
            self.plates += 1
            of_rating = puts.get((process, stars))
            if of_rating is None:
                of_rating = puts[process, stars] = len(self._ratings), _Puts(self, process or "?", stars)
                self._ratings.append((process or "?", stars))
            places[path], put = of_rating
            if exposed and exposed <= most:
                put.exposed(exposed)
            is_read = source not in (None, "assumed")
            if not is_read or humidity is None:
                put.assumed_humidity += 1
            elif humidity <= most:
                put.humidity(humidity)
            room = rooms.get(path)
            if room is None:
                put.assumed_rooms += 1
            elif room <= most:
                put.room(room)
            if wet is not None and not estimated and path not in unseen:
                if wet <= most:
                    put.wet(wet)
                if room is None or not wet_about or not is_read:
                    put.assumed_shares += 1
                elif wet / wet_about <= most:
                    put.share(wet / wet_about)
        for (process, _), (_, put) in puts.items():
            counts = 0, put.assumed_humidity, put.assumed_rooms, 0, put.assumed_shares
            for thing, count in zip(_THINGS, counts, strict=True):
                self.assumed[process or "?", *thing] += count

    def rating_of(self, plate: Key) -> Rating | None:
        """Return (process, stars) of one of the plates, None of one that is not rated."""
        place: int = self._places[plate]
        return self._ratings[place]

    def put(self, thing: Thing, stars: int) -> Callable[[float], None]:
        """Return what takes the values of a thing of the plates with these stars."""
        return self.numbers.setdefault(thing, {}).setdefault(stars, array("d")).append


class _Puts:
    """Where the numbers of plates of one process with the same stars go, and how many were assumed."""

    __slots__ = (
        "assumed_humidity", "assumed_rooms", "assumed_shares", "exposed", "humidity", "room", "share", "wet"
    )  # fmt: skip

    def __init__(self, rated: RatedPlates, process: str, stars: int) -> None:
        self.exposed, self.humidity, self.room, self.wet, self.share = (
            rated.put((process, *thing), stars) for thing in _THINGS
        )
        self.assumed_humidity = self.assumed_rooms = self.assumed_shares = 0


def words_of(rows: Rows, things: Sequence[str]) -> dict[str, Counter[tuple[str, int]]]:
    """Return {thing: how often (word as typed, stars) stands on rated plates}, in the order of the plates.

    Plates with the same words and stars are counted together first: of many plates there are few kinds.
    """
    kinds = Counter(members(rows.plates, "stars", *things))
    counted = {thing: Counter[tuple[str, int]]() for thing in things}
    for (stars, *texts), plates in kinds.items():
        if stars is not None:
            for thing, text in zip(things, texts, strict=True):
                if text:
                    counted[thing][text, stars] += plates
    return counted
