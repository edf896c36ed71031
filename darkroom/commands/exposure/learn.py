"""`darkroom exposure learn`: from the judged plates of the log to a time with its interval."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import click

from darkroom.commands.exposure.options import json_option, number, value_of
from darkroom.commands.output import NOT_RED, print_json
from darkroom.process.scene import SKIES

if TYPE_CHECKING:
    from darkroom.exposure.judged import Conditions
    from darkroom.exposure.learned import Learned


@click.command(
    help="Say how long to open the lens by the plates you judged, with the interval that holds four plates "
    "of five, and which plates say so.\n\n"
    "Every plate judged by stops, by its best strip or by a word counts, those most like the next one most. "
    "Without any it is what is common practice, and it says so. Left out, everything is as on the latest "
    "plate; nothing is lost to bellows or filters. A light without --ev is taken as bright as its plates "
    "say, as kit.yaml says, or as is usual.\n\n"
    "Reckoned for plates that scatter as common practice has it: slips of 5 % are allowed for.\n\n"
    f"Example: darkroom exposure learn --light shade --ev 11 --f 5.6\n\n{NOT_RED}"
)
@click.option("--process", metavar="NAME", help="The process, by its name in the journals.")
@click.option("--light", metavar="NAME", help="A light of kit.yaml, a kind of light, or any name.")
@click.option("--ev", "ev_text", metavar="EV", help="What a meter says at ISO 100.")
@click.option("--f", "f_text", metavar="STOP", help="The f-number, as 5.6, or a stop of the lens.")
@click.option("--lens", metavar="NAME", help="The lens.")
@click.option("--collodion", metavar="NAME", help="The collodion; a date in its name is the day it was made.")
@click.option("--place", metavar="NAME", help="A place of kit.yaml: the light follows the sun there.")
@click.option("--sky", type=click.Choice(SKIES), help="The sky over that place.")
@click.option("--at", "at_text", metavar="TIME", help="When, as 2026-06-21T12:00+01:00; now, if left out.")
@json_option
def learn(
    process: str | None,
    light: str | None,
    ev_text: str | None,
    f_text: str | None,
    lens: str | None,
    collodion: str | None,
    place: str | None,
    sky: str | None,
    at_text: str | None,
    as_json: bool,
) -> None:
    """Print the proposal."""
    from datetime import UTC, datetime

    import msgspec

    from darkroom.commands.exposure.kit_places import kit_place
    from darkroom.commands.exposure.typed_names import f_number_of, near_names
    from darkroom.commands.exposure.wanted_plate import Asked, latest_conditions, wanted_plate
    from darkroom.commands.log.shared import helpers
    from darkroom.commands.progress import Progress
    from darkroom.errors import WrongUse
    from darkroom.exposure.conditions import age_of
    from darkroom.exposure.learning import learn as learn_from
    from darkroom.log.catalogue.collodion_ages import date_by_name
    from darkroom.log.catalogue.judged_plates import judged_plates
    from darkroom.log.store.paths import home
    from darkroom.process.text.instants import instant
    from darkroom.process.text.light_words import BRIGHTEST, DARKEST
    from darkroom.settings import kit as kit_files

    if place is not None and ev_text is not None:
        raise WrongUse("how bright is it? --ev, or --place for where the sun stands, not both")
    if sky is not None and place is None:
        raise WrongUse("--sky needs --place")
    folder = home()
    kit_file = kit_files.path_in(folder)
    kit, problems = kit_files.load_right(kit_file)
    latest = latest_conditions(folder)
    named_lens = lens if lens is not None or latest is None else latest.lens
    asked = Asked(
        process=process,
        lens=lens,
        batch=collodion,
        light=light,
        ev=None if ev_text is None else value_of("--ev", ev_text, number(DARKEST, BRIGHTEST, "an EV")),
        f_number=None if f_text is None else f_number_of("--f", f_text, kit, named_lens),
        place=None if place is None else kit_place(kit, problems, kit_file, place),
        sky=sky,
    )
    at = datetime.now(UTC).astimezone() if at_text is None else value_of("--at", at_text, instant)
    for problem in problems:
        click.echo(str(problem), err=True)
    with Progress() as progress:
        judged = judged_plates(folder, progress=progress, helpers=helpers())
    for said in filter(None, (judged.trouble, judged.damaged)):
        click.echo(said, err=True)
    plates = [each.conditions for each in judged.plates]
    for line in near_names(kit, plates, process=process, light=light, lens=lens, collodion=collodion):
        click.echo(line, err=True)
    wanted = wanted_plate(latest, asked, kit, at)
    made = date_by_name(folder, wanted.batch, at.timestamp())
    if made is not None:
        wanted = msgspec.structs.replace(wanted, age=age_of(made, wanted.day))
    learned = learn_from(judged.plates, wanted, judged.left_out)
    if as_json:
        if not learned.plates:
            click.echo(learned.assumed[0], err=True)
        print_json(as_members(learned))
        return
    for line in lines(learned, wanted):
        click.echo(line)


def as_members(learned: Learned) -> dict[str, object]:
    """Return the proposal as JSON has it."""
    return {
        "speed": learned.speed,
        "low": learned.speed_low,
        "high": learned.speed_high,
        "seconds": learned.seconds,
        "seconds_low": learned.seconds_low,
        "seconds_high": learned.seconds_high,
        "stops": [learned.low, learned.middle, learned.high],
        "plates": learned.plates,
        "left_out": [
            {"plate": each.plate, "number": each.number, "reason": each.reason} for each in learned.left_out
        ],
        "weigh": [{"plate": each.plate, "weight": each.weight} for each in learned.weigh],
        "disagree": [{"plates": list(each.plates), "stops": each.stops} for each in learned.disagree],
        "unfitting": [
            {
                "plate": each.plate,
                "said": [_finite(each.said_low), _finite(each.said_high)],
                "expected": each.expected,
                "chance": each.chance,
            }
            for each in learned.unfitting
        ],
        "assumed": list(learned.assumed),
    }


def _finite(stops: float) -> float | None:
    """Return the stops, None at an open end: JSON has no infinity."""
    from math import isfinite

    return stops if isfinite(stops) else None


def lines(learned: Learned, wanted: Conditions) -> Iterator[str]:
    """Yield the proposal as a photographer reads it."""
    from darkroom.exposure.learned_text import left_out_told, plates_told
    from darkroom.exposure.time_remarks import remarks
    from darkroom.process.text.durations import show_short
    from darkroom.process.text.plain_text import plain

    times = (learned.seconds, learned.seconds_low, learned.seconds_high)
    known = [show_short(time) for time in times if time is not None]
    plates = "1 plate" if learned.plates == 1 else f"{learned.plates} plates"
    if learned.plates:
        behind = f"from {plates}"
    else:
        behind = left_out_told(learned.left_out) if learned.left_out else "from no plate yet"
    yield (
        f"{known[0]}, between {known[1]} and {known[2]}, {behind}"
        if len(known) == 3
        else f"no time, {behind}"
    )
    if learned.seconds is not None:
        for remark in remarks(learned.seconds):
            yield f"  {remark}"
    yield f"  for           {plain(_told(wanted))}"
    slow, fast = learned.speed_low, learned.speed_high
    yield f"  speed         ISO {learned.speed:.2g}, between {slow:.2g} and {fast:.2g}"
    for label, told in plates_told(learned, learned.left_out):
        yield f"  {label:<12}  {plain(told)}"
    for sentence in learned.assumed:
        yield f"  assumed       {plain(sentence)}"


def _told(wanted: Conditions) -> str:
    """Return what the proposal is for, in words."""
    light = wanted.light or wanted.kind or "light not known"
    if wanted.ev is not None:
        light += f" at EV {wanted.ev:.3g}"
    lens = wanted.lens or "lens not known"
    stop = "f-number not known" if wanted.f_number is None else f"f/{wanted.f_number:g}"
    return ", ".join((wanted.process or "process not known", light, f"{lens} at {stop}"))
