"""What is missing for a trend of speed, in sentences. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import msgspec

from darkroom.exposure.judged import JudgedPlate
from darkroom.log.trends.speed import FEWEST, LEAST_AGES, Speeds, over_speed, speeds_of

TELLS = "It takes the f-number, the light, and a judgement: stops, right, or a best strip."
DATED = "write the day it was made in its name, as C-4 2026-05-02"


class SpeedLacks(msgspec.Struct, frozen=True):
    """Sentences on what the speed of the plates lacks to be drawn over age, and from day to day."""

    says: tuple[str, ...]


def speed_lacks(judged: Speeds | Iterable[JudgedPlate]) -> SpeedLacks | None:
    """Return what is missing for the trends of the process and light with the most plates, if any."""
    says = tuple(_sentences(speeds_of(judged)))
    return SpeedLacks(says) if says else None


def _sentences(speeds: Speeds) -> Iterator[str]:
    if not speeds.told:
        yield "No judged plate tells its speed yet."
        yield TELLS
        yield from _silent(speeds)
        return
    (process, light), members = max(speeds.told.items(), key=lambda pair: len(pair[1]))
    if len(members) < FEWEST:
        where = f" in {light}" if light else ""
        tell = "plate tells its" if len(members) == 1 else "plates tell their"
        yield f"{len(members)} {tell} speed, of {process}{where}: {FEWEST} of one kind show a trend."
        yield TELLS
        yield from _silent(speeds)
        return
    shown = {trend.by for trend in over_speed(speeds) if (trend.process, trend.light) == (process, light)}
    ages = [told.age for told in members if told.age is not None]
    if "age" not in shown and len(ages) < FEWEST:
        yield f"Over its age: of {len(ages)} of {len(members)} plates the collodion has a date; {DATED}."
    elif "age" not in shown:
        apart = max(ages) - min(ages)
        yield f"Over its age: the collodions are {apart:g} days apart at most; {LEAST_AGES:g} show something."
    if "day" not in shown:
        days = len({told.day for told in members})
        yield f"From day to day: plates of {days} of the {FEWEST} days that show something."


def _silent(speeds: Speeds) -> Iterator[str]:
    """Yield how many judged plates tell no speed, and why."""
    only_more_or_less = sum(speeds.open.values())
    if only_more_or_less:
        yield f"{only_more_or_less:,} only said more or less."
    for reason, number in speeds.silent.most_common():
        yield f"{number:,} left out: {reason}."
