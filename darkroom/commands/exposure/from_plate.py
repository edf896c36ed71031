"""`darkroom exposure from-plate`: from a plate that was made to the next one."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from darkroom.commands.exposure.options import filter_stops, json_option, stops, value_of
from darkroom.commands.log.shared import A_PLATE, find, rehearsals_option, say_problems
from darkroom.commands.output import NOT_RED, print_json

if TYPE_CHECKING:
    from darkroom.exposure.kit import Kit
    from darkroom.log.plate.known_exposure import KnownExposure
    from darkroom.process.scene import Scene


@click.command(
    help="Say how long to open the lens by a plate that was made, and what is different now.\n\n"
    "The time is that of the plate, of a test plate that of its best strip; what you do not name is as it "
    "was then. How it was judged is reckoned in, half a stop for more or less, and so is the age of a "
    "collodion with a date in its name, as of today.\n\n"
    f"{A_PLATE} Names of lights, and stops by their names, are those of kit.yaml. A light without --ev has "
    "its usual brightness.\n\n"
    f"Example: darkroom exposure from-plate 12 --f 8 --light shade --stops 1/2\n\n{NOT_RED}"
)
@click.argument("plate")
@click.option("--f", "f_text", metavar="STOP", help="Another f-number, or the name of a stop of the lens.")
@click.option("--light", metavar="NAME", help="Another light: of the kit, or sun, cloud, shade, window …")
@click.option("--ev", metavar="EV", help="The meter's EV at ISO 100 now.")
@click.option("--extension", metavar="LENGTH", help="From the lens to the plate now, as 45cm.")
@click.option("--filter", "filter_text", metavar="FACTOR", help="A filter: 2x, or '1 stop'.")
@click.option(
    "--collodion", metavar="NAME", help="Another collodion; a date in its name is the day it was made."
)
@click.option(
    "--stops",
    "stops_text",
    metavar="STOPS",
    help="So many stops more, or less as -1, in place of its judgement.",
)
@json_option
@rehearsals_option
def from_plate(
    plate: str,
    f_text: str | None,
    light: str | None,
    ev: str | None,
    extension: str | None,
    filter_text: str | None,
    collodion: str | None,
    stops_text: str | None,
    as_json: bool,
    rehearsals: bool,
) -> None:
    """Print the time for the next plate."""
    from datetime import UTC, datetime

    from msgspec.structs import replace

    from darkroom.bench.working_day import working_day
    from darkroom.commands.exposure.planned_text import planned_as_json, planned_lines
    from darkroom.commands.exposure.typed_names import f_number_of
    from darkroom.exposure.conditions import age_of
    from darkroom.log.plate.known_exposure import begins, known_exposure, planned_from
    from darkroom.log.plate.record import read_record
    from darkroom.log.store.paths import home
    from darkroom.settings.kit import load_right, path_in

    record = read_record(find(plate, rehearsals))
    known = known_exposure(record)
    kit, problems = load_right(path_in(home()))
    wanted = known.scene
    if light is not None or ev is not None:
        wanted = _lit(wanted, kit, light, ev)
    if f_text is not None:
        wanted = replace(wanted, f_number=f_number_of("--f", f_text, kit, known.conditions.lens))
    if extension is not None:
        wanted = replace(wanted, bellows=_bellows(extension, kit, known))
    if filter_text is not None:
        wanted = replace(wanted, filter=value_of("--filter", filter_text, filter_stops))
    today = working_day(datetime.now(UTC).astimezone().isoformat())
    time = planned_from(
        known,
        wanted,
        age=age_of(collodion or known.conditions.batch, today),
        stops=None if stops_text is None else value_of("--stops", stops_text, stops),
    )
    if as_json:
        print_json(planned_as_json(time))
    else:
        for line in planned_lines(time, begins(known)):
            click.echo(line)
    say_problems([*record.log.problems, *problems])


def _lit(scene: Scene, kit: Kit, light: str | None, ev: str | None) -> Scene:
    """Return the scene in another light, or at another reading of the same one."""
    from msgspec.structs import replace

    from darkroom.commands.exposure.options import ev_of
    from darkroom.errors import WrongUse, nearest
    from darkroom.exposure.kit import same_name
    from darkroom.process.scene import LIGHT_KINDS
    from darkroom.process.text.light_words import light_kind

    if light is not None and not same_name(light, scene.light):
        named = kit.light(light)
        kind = light_kind(light) if named is None else named.kind
        usual = None if named is None else named.ev
        if kind is None and ev is None:
            names = [*(each.name for each in kit.lights), *LIGHT_KINDS]
            near = nearest(light, names)
            hint = f"did you mean '{near}'?" if near else f"there are {', '.join(names)}"
            raise WrongUse(f"--light: '{light[:40]}' is no light of the kit and no kind of light ({hint})")
        origin = None if usual is None else "light"
        scene = replace(scene, light=light, kind=kind, ev=usual, ev_from=origin, sun_altitude=None, sky=None)
    if ev is None:
        return scene
    return replace(scene, ev=value_of("--ev", ev, lambda text: ev_of(text, "ev")), ev_from="meter")


def _bellows(text: str, kit: Kit, known: KnownExposure) -> float:
    """Return the stops that an extension takes; told when the plate's camera draws out less far."""
    from math import log2

    from darkroom.errors import WrongUse
    from darkroom.exposure.factors import bellows_factor
    from darkroom.process.text.lens_words import focal_length
    from darkroom.process.text.measures import length
    from darkroom.process.text.numbers import quoted

    lens = kit.lens(known.conditions.lens)
    focal = lens.focal if lens is not None and lens.focal is not None else focal_length(known.conditions.lens)
    if focal is None:
        named = (
            f"lens {quoted(known.conditions.lens)}" if known.conditions.lens else "lens, which nobody named,"
        )
        raise WrongUse(f"--extension: the focal length of the {named} is not known: write it in kit.yaml")
    drawn = value_of("--extension", text, length)
    camera = kit.camera(known.camera)
    too_long = None if camera is None else camera.cannot_draw(drawn)
    if too_long is not None:
        click.echo(f"the {too_long}", err=True)
    return log2(value_of("--extension", text, lambda _: bellows_factor(float(focal), drawn)))
