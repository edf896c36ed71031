"""A season of plates by an invented photographer, written as journals: the same seed, the same season.

    python -m tests.kit.season FOLDER PLATES [--seed N] [--days N]

FOLDER becomes a log ($DARKROOM_HOME). Ottilie Brandwein and her plates do not exist. What a plate goes
through follows its process: stages take what the process says at the temperature of the day, with a
hand's scatter; a fixer clears more slowly with every plate until it is mixed anew; a plate that stayed
wet too long is likelier to show drying marks, and faults cost stars.

With `hands` a plate in three is no straight story: steps are taken back, moved, gone on with after a restart
or a sleep, thermometers are read, bottles change, judgements are corrected and marks get words. All other
plates are drawn as without.
"""

from __future__ import annotations

import argparse
import math
import random
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import msgspec

from darkroom.bench import events as ev
from darkroom.log.journal import frame
from darkroom.log.store import paths
from darkroom.process import timing
from darkroom.process.file import plain_form
from darkroom.process.model import ExposurePlan, Process, Stage
from darkroom.resources import load_process
from tests.kit import season_slips

WHO = "Ottilie Brandwein"
PROCESSES = ("clear-glass", "black-glass", "tintype", "negative")
SUBJECTS = (
    "the mill at Hagenau",
    "ferns",
    "Aunt Wilma",
    "the ferryman",
    "still life with jugs",
    "the old weir",
    "an orchard",
    "the smith's hands",
    "market square",
    "a chair by the window",
)
FAULTS = ("fog", "comets", "oyster stains", "veil", "lines", "thin", "drying marks")
PLACES: tuple[str | None, ...] = ("upper left corner", "lower right corner", "left edge", "centre", None)
PLATES_A_FIXER = 40
FIRST_DAY = datetime(2026, 4, 1, 7, 0, tzinfo=UTC)
SUMMER = timezone(timedelta(hours=2))
BENCH, BOOT = "b0b0cafe00112233", "season"


class Made:
    """One plate: its id, its local date and its lines."""

    __slots__ = ("data", "day", "plate")

    def __init__(self, plate: str, day: str, data: bytes) -> None:
        self.plate, self.day, self.data = plate, day, data


class _Hand:
    """Writes the lines of one plate, the clock going on with each.

    `slips` decides what goes otherwise than planned, None for a plate of which all goes as it should.
    """

    def __init__(self, begun: datetime, up: float, slips: random.Random | None = None) -> None:
        self.begun, self.first, self.up, self.n, self.slips = begun, up, up, 0, slips
        self.struck_again = 0.0
        self.out: list[bytes] = []

    def at(self) -> str:
        moment = self.begun + timedelta(seconds=self.up - self.first)
        return moment.astimezone(SUMMER).isoformat(timespec="milliseconds")

    def say(self, kind: type[Any], /, *, dry: bool = False, **members: Any) -> int:
        self.n += 1
        event = kind(n=self.n, at=self.at(), up=None if dry else round(self.up, 3), **members)
        self.out.append(frame.encode(event))
        return self.n


Bottles = Callable[[int], dict[str, str]]
"""What a plate of this number names as its bottles, {role: name}."""


def fixer_alone(number: int) -> dict[str, str]:
    """Return the fixer of a plate: mixed anew after so many of them."""
    return {"fixer": f"F{1 + (number - 1) // PLATES_A_FIXER}"}


def season(
    plates: int, seed: int = 1, days: int = 200, bottles: Bottles = fixer_alone, hands: bool = False
) -> Iterator[Made]:
    """Yield `plates` plates over so many days, oldest first; see the module for `hands`."""
    rng = random.Random(seed)
    known = [
        (load_process(name), msgspec.Raw(msgspec.json.encode(plain_form.to_plain(load_process(name)))))
        for name in PROCESSES  # written once: most of a plate's first line is its process
    ]
    for number in range(1, plates + 1):
        share = (number - 1) * days / plates
        day = int(share)
        begun = FIRST_DAY + timedelta(days=day, seconds=round((share - day) * 11 * 3600, 3))
        process, plain = known[rng.choices(range(4), (5, 2, 3, 2))[0]]
        slips = random.Random(f"{seed} {number}") if hands and number % 3 == 0 else None
        yield _plate(rng, number, begun, day / max(1, days), process, plain, bottles(number), slips)


def _plate(
    rng: random.Random,
    number: int,
    begun: datetime,
    season_share: float,
    process: Process,
    plain: Any,
    bottles: dict[str, str],
    slips: random.Random | None,
) -> Made:
    warm = 12 + 13 * math.sin(math.pi * season_share) + rng.gauss(0, 2)
    celsius = {
        "room": warm,
        "bath": warm - rng.random(),
        "developer": warm + rng.gauss(0, 0.7),
        "water": 14.0,
        "fixer": warm,
    }
    celsius = {source: round(max(4.0, value), 1) for source, value in celsius.items()}
    read = rng.random() < 0.85
    used = (number - 1) % PLATES_A_FIXER
    hand = _Hand(begun, 1000.0 + number * 700.0, slips)
    seconds = rng.choice((2.0, 4.0, 6.0, 8.0, 12.0, 16.0))
    plate_id = paths.new_plate_id(begun, rng)
    hand.say(
        ev.PlateStarted,
        plate=plate_id,
        number=number,
        schema=1,
        version="0.1.0",
        bench=BENCH,
        boot=BOOT,
        process=plain,
        plan=ExposurePlan(seconds=seconds),
        who=WHO,
        subject=rng.choice(SUBJECTS),
        size="18 x 24 cm",
        lens="the brass portrait lens",
        aperture="f/5.6",
        bottles=bottles,
        temperatures={source: (value, "hand" if read else "assumed") for source, value in celsius.items()},
        humidity=(round(rng.uniform(35, 80)), "hand" if read else "assumed"),
    )
    abandoned = rng.random() < 0.02
    wet_from, wet = 0.0, 0.0
    for index, stage in enumerate(process.stages):
        if stage.optional:
            continue
        if abandoned and stage.name == "expose":
            hand.say(ev.PlateEnded, how="abandoned", reason=rng.choice(("dust", "a cracked plate")))
            break
        if process.wet_window and stage.name == process.wet_window.to:
            wet = hand.up - wet_from - hand.struck_again
        _stage(rng, hand, process, index, celsius, seconds, used)
        if process.wet_window and stage.name == process.wet_window.from_:
            wet_from, hand.struck_again = hand.up, 0.0
    else:
        hand.say(ev.PlateEnded, how="done")
    if not abandoned:
        _judge(rng, hand, wet)
    if slips is not None:
        season_slips.judge_again(hand, slips)
    return Made(plate_id, begun.astimezone(SUMMER).date().isoformat(), b"".join(hand.out))


def _stage(
    rng: random.Random,
    hand: _Hand,
    process: Process,
    index: int,
    celsius: dict[str, float],
    seconds: float,
    used: int,
) -> None:
    stage = process.stages[index]
    heat = celsius.get(stage.at or "", 20.0)
    planned = timing.stage_seconds(process, index, heat) if stage.ends in ("on_time", "at_zero") else None
    if stage.ends == "exposure":
        planned = seconds
    if stage.waits:
        hand.up += rng.uniform(5, 40)
    if stage.lead_in is not None:
        hand.say(ev.LeadInStarted, stage=stage.name, seconds=stage.lead_in)
        hand.up += stage.lead_in
    more = {} if hand.slips is None else season_slips.bottles(hand.slips)
    hand.say(ev.StageStarted, stage=stage.name, planned=planned, celsius=heat if stage.at else None, **more)
    began = hand.up
    if stage.ends == "cleared":
        hand.up += _usual(rng, stage, heat) * (1 + used / PLATES_A_FIXER)
        cleared = round(hand.up - began, 3)
        hand.say(ev.Cleared, stage=stage.name, seconds=cleared)
        planned = cleared * (stage.clearing_factor or 2.0)
        hand.up = began + planned + rng.uniform(0, 20)
    elif planned is not None and stage.ends == "exposure":
        hand.up += planned
    elif planned is not None:
        hand.up += planned * math.exp(rng.gauss(0.03, 0.06))
    else:
        hand.up += _usual(rng, stage, heat)
    if rng.random() < 0.01:
        hand.say(ev.Mark)
    how = "zero" if stage.ends == "exposure" else "strike"
    if hand.slips is not None:
        season_slips.within(hand, hand.slips, stage.name, heat)
    n = hand.say(ev.StageEnded, stage=stage.name, seconds=round(hand.up - began, 3), planned=planned, how=how)
    if hand.slips is not None and season_slips.after(hand, hand.slips, n):
        hand.up += 4.0
        hand.struck_again += 4.0
        hand.say(ev.StageEnded, stage=stage.name, seconds=round(hand.up - began, 3), planned=planned, how=how)


def _usual(rng: random.Random, stage: Stage, celsius: float) -> float:
    least, most = timing.expected(stage, celsius) or (20.0, 60.0)
    return rng.uniform(least, least + (most - least) * 0.5)


def _judge(rng: random.Random, hand: _Hand, wet: float) -> None:
    hand.up += 3600
    faults = []
    if rng.random() < 0.05 + max(0.0, wet - 90) / 300:
        faults.append("drying marks")
    if rng.random() < 0.25:
        faults.append(rng.choice(FAULTS))
    for name in faults:
        hand.say(ev.Fault, dry=True, name=name, where=rng.choice(PLACES))
    if rng.random() < 0.8:
        stars = max(1, min(5, round(rng.gauss(4 - len(faults), 0.8))))
        hand.say(ev.Rating, dry=True, stars=stars, exposure_stops=rng.choice((-1.0, -0.5, 0.0, 0.5, 1.0)))
    if rng.random() < 0.1:
        hand.say(
            ev.Note, dry=True, text=rng.choice(("kept for the album", "given away", "varnish too thick"))
        )
    if rng.random() < 0.1:
        hand.say(
            ev.Detail, dry=True, key="next", value=rng.choice(("warm the bath", "pour faster", "new fixer"))
        )


def write(
    home: Path,
    plates: int,
    seed: int = 1,
    days: int = 200,
    bottles: Bottles = fixer_alone,
    hands: bool = False,
) -> list[Path]:
    """Write a season into a log; return the journals' paths, oldest first."""
    made, written, last = paths.PLATES, [], None
    for plate in season(plates, seed, days, bottles, hands):
        folder = home / made / plate.day[:4] / plate.day
        if folder != last:
            folder.mkdir(parents=True, exist_ok=True)
            last = folder
        path = folder / f"{plate.plate}.jsonl"
        path.write_bytes(plate.data)
        written.append(path)
    return written


def main() -> None:
    """Write a season."""
    parser = argparse.ArgumentParser(description="Write a season of invented plates.")
    parser.add_argument("folder", type=Path)
    parser.add_argument("plates", type=int)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--days", type=int, default=200)
    options = parser.parse_args()
    print(f"{len(write(options.folder, options.plates, options.seed, options.days))} plates")


if __name__ == "__main__":
    main()
