"""`kit.yaml` in the folder of the log: the photographer's own lenses, cameras, lights, places, plate sizes.

It is checked like a process file: every mistake at once, each with file, line, key and the nearest right
word. A missing file is no mistake: names are then just words, and the plain kinds of light hold.

    lenses:
      - name: brass portrait lens
        focal_length: 210 mm
        front_magnification: 1.1     # how much larger a stop looks from the front; 1 where it is left out
        stops:                       # an f-number, the diameter of its opening, or US 4
          wide open: f/3.6
          no. 2: 26 mm
    cameras:
      - {name: half-plate field camera, longest_draw: 45 cm}
    lights:
      - {name: north window, kind: window, usual_ev: 9.5}
    places:
      - {name: garden, latitude: 52.09, longitude: 5.12, time_zone: Europe/Amsterdam}
    plates:
      - {name: quarter plate, size: 3 1/4 × 4 1/4 in}
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import NamedTuple, Protocol, TypeVar

from msgspec.structs import replace

from darkroom.errors import Problem, QuantityError, SettingsError
from darkroom.exposure.factors import f_number_at
from darkroom.exposure.kit import Camera, Kit, Lens, NamedLight, Place, PlateSize, Stop, name_key
from darkroom.exposure.light_kinds import light_kind
from darkroom.process.file.text_fields import line_of_text
from darkroom.process.scene import LIGHT_KINDS
from darkroom.process.text import kit_words, measures
from darkroom.process.text.lens_words import FRONT
from darkroom.process.text.light_words import BRIGHTEST, DARKEST
from darkroom.process.text.tree import Items, Keys, Node, Scalar, Sheet
from darkroom.process.text.yaml_reader import read
from darkroom.settings.kit_problems import KIND_WORDS, KINDS, in_words, keys_of, things_of
from darkroom.settings.time_zones import known_zone
from darkroom.settings.values import number_between, read_file, says_nothing

FILE = "kit.yaml"
LONGEST_NAME = 40
KEYS = {
    "lenses": ("name", "focal_length", "front_magnification", "stops"),
    "cameras": ("name", "longest_draw"),
    "lights": ("name", "kind", "usual_ev"),
    "places": ("name", "latitude", "longitude", "time_zone"),
    "plates": ("name", "size"),
}
"""{key of the file: the keys of each thing in its list}."""
MARKED = 0.05
"""A stop's name may be off its f-number by so much: what is marked f/5.6 is 4√2, US 8 is f/11.3."""


class KitFile(NamedTuple):
    """A kit file that was read: what is right in it, every mistake, how many things it names of each kind."""

    kit: Kit
    problems: tuple[Problem, ...] = ()
    written: Mapping[str, int] = {}


class _Named(Protocol):
    @property
    def name(self) -> str: ...


_Thing = TypeVar("_Thing", bound=_Named)


def path_in(home: Path) -> Path:
    """Return where the kit of a log folder is."""
    return home / FILE


def load(path: Path) -> Kit:
    """Return the kit in a file, an empty one when there is none. Raises SettingsError with every mistake."""
    kit, problems = load_right(path)
    if problems:
        raise SettingsError(problems)
    return kit


def load_right(path: Path) -> tuple[Kit, tuple[Problem, ...]]:
    """Return what is right in a file, and every mistake in it. Raises nothing.

    A thing with a mistake is left out, and the second of two of one name.
    """
    found = load_file(path)
    return found.kit, found.problems


def load_file(path: Path) -> KitFile:
    """Return what stands in a file, as `load_right`, with how many things it names. Raises nothing."""
    try:
        text = read_file(path)
    except SettingsError as error:
        return KitFile(Kit(), error.problems)
    return KitFile(Kit()) if text is None else _read(text, str(path))


def parse_right(text: str | bytes, file: str) -> tuple[Kit, tuple[Problem, ...]]:
    """Return what is right in a YAML text, and every mistake; `file` is its name in them. Raises nothing."""
    found = _read(text, file)
    return found.kit, found.problems


def _read(text: str | bytes, file: str) -> KitFile:
    if says_nothing(text):
        return KitFile(Kit())
    sheet = read(text, file)
    sheet.kind_words = KIND_WORDS
    kit = Kit() if sheet.root is None else _kit(sheet, sheet.root)
    lists = sheet.root.entries if isinstance(sheet.root, Keys) else {}
    written = {key: len(node.items) for key, node in lists.items() if key in KEYS and isinstance(node, Items)}
    try:
        sheet.raise_problems(SettingsError)
    except SettingsError as error:
        return KitFile(kit, tuple(in_words(sheet.root, problem) for problem in error.problems), written)
    return KitFile(kit, (), written)


def _kit(sheet: Sheet, root: Node) -> Kit:
    if (
        keys_of(sheet, root, f"each thing stands below what it is: {', '.join(f'{key}:' for key in KEYS)}")
        is None
    ):
        return Kit()
    keys = sheet.mapping(root, known=KEYS)

    def things(key: str, reader: Callable[[Sheet, Node], _Thing | None]) -> tuple[_Thing, ...]:
        return _things(sheet, keys[key], key, reader) if key in keys else ()

    return Kit(
        lenses=things("lenses", _lens),
        cameras=things("cameras", _camera),
        lights=things("lights", _light),
        places=things("places", _place),
        plates=things("plates", _plate),
    )


def _things(
    sheet: Sheet, node: Node, key: str, reader: Callable[[Sheet, Node], _Thing | None]
) -> tuple[_Thing, ...]:
    """Return the things of a list in which nothing is wrong, each name once."""
    things: list[_Thing] = []
    lines: dict[str, int] = {}
    for item in things_of(sheet, node, key):
        before = len(sheet.problems) + sheet.more
        if keys_of(sheet, item, f"a {KINDS[key]} is written as '- name: …'") is None:
            continue
        thing = reader(sheet, item)
        if thing is None:
            continue
        name = sheet.entries(item)["name"]
        first = lines.get(name_key(thing.name))
        if first is None:
            lines[name_key(thing.name)] = name.line
        else:
            sheet.wrong(
                name, f"two of one name: another {KINDS[key]} on line {first} is called '{thing.name}'"
            )
        if len(sheet.problems) + sheet.more == before:
            things.append(thing)
    return tuple(things)


def _name(sheet: Sheet, keys: dict[str, Node]) -> str | None:
    return line_of_text(sheet, keys["name"], LONGEST_NAME) if "name" in keys else None


def _length(sheet: Sheet, keys: dict[str, Node], key: str) -> float | None:
    return sheet.value(keys[key], measures.length) if key in keys else None


def _number(
    sheet: Sheet, keys: dict[str, Node], key: str, least: float, most: float, what: str
) -> float | None:
    return sheet.value(keys[key], number_between(least, most, what)) if key in keys else None


def _lens(sheet: Sheet, node: Node) -> Lens | None:
    keys = sheet.mapping(node, known=KEYS["lenses"], required=("name",))
    name = _name(sheet, keys)
    focal = _length(sheet, keys, "focal_length")
    front = _number(sheet, keys, "front_magnification", *FRONT, "a magnification")
    lens = Lens(name=name or "", focal=focal, front=front or 1.0)
    stops = _stops(sheet, keys["stops"], lens, "focal_length" in keys) if "stops" in keys else ()
    return None if name is None else replace(lens, stops=stops)


def _stops(sheet: Sheet, node: Node, lens: Lens, has_focal: bool) -> tuple[Stop, ...]:
    stops: list[Stop] = []
    if keys_of(sheet, node, "each stop has its name before it: 'no. 1: f/8', one to a line") is None:
        return ()
    for key, value in sheet.entries(node).items():
        name = line_of_text(sheet, Scalar(sheet.key_line(node, key), value.path, key), LONGEST_NAME)
        read = sheet.value(value, kit_words.stop)
        if name is None or read is None:
            continue
        stop = Stop(name=name, f_number=read[0], diameter=read[1])
        if any(name_key(other.name) == name_key(name) for other in stops):
            sheet.wrong(value, f"two of one name: another stop is called '{name}'")
            continue
        wrong = _wrong_stop(stop, lens, has_focal)
        if wrong is None:
            stops.append(stop)
        else:
            sheet.wrong(value, wrong)
    return tuple(stops)


def _wrong_stop(stop: Stop, lens: Lens, has_focal: bool) -> str | None:
    """Return what is wrong with a stop that can be read, or None."""
    read_as = kit_words.as_f_number(stop.name)
    if stop.diameter is not None and not has_focal:
        return "what f-number a diameter is needs the 'focal_length' of the lens"
    if read_as is not None and not (stop.f_number and abs(read_as / stop.f_number - 1) < MARKED):
        return f"a stop called '{stop.name}' is read as f/{read_as:g}: give it another name"
    try:
        f_number_at(replace(lens, stops=(stop,)), stop.name)
    except QuantityError as error:
        return str(error)
    return None


def _camera(sheet: Sheet, node: Node) -> Camera | None:
    keys = sheet.mapping(node, known=KEYS["cameras"], required=("name",))
    name = _name(sheet, keys)
    draw = _length(sheet, keys, "longest_draw")
    return None if name is None else Camera(name=name, longest_draw=draw)


def _light(sheet: Sheet, node: Node) -> NamedLight | None:
    keys = sheet.mapping(node, known=KEYS["lights"], required=("name", "kind"))
    name = _name(sheet, keys)
    kind = sheet.word(keys["kind"], LIGHT_KINDS) if "kind" in keys else None
    ev = _number(sheet, keys, "usual_ev", DARKEST, BRIGHTEST, "an EV at ISO 100")
    if name is None or kind is None:
        return None
    plain = light_kind(name)
    if plain is not None and plain.name != kind:
        sheet.wrong(keys["name"], f"'{name}' is a kind of light itself: give this {kind} another name")
    return NamedLight(name=name, kind=kind, ev=ev)


def _place(sheet: Sheet, node: Node) -> Place | None:
    keys = sheet.mapping(node, known=KEYS["places"], required=KEYS["places"])
    name = _name(sheet, keys)
    latitude = sheet.value(keys["latitude"], kit_words.latitude) if "latitude" in keys else None
    longitude = sheet.value(keys["longitude"], kit_words.longitude) if "longitude" in keys else None
    zone = known_zone(sheet, keys["time_zone"]) if "time_zone" in keys else None
    if name is None or latitude is None or longitude is None or zone is None:
        return None
    return Place(name=name, latitude=latitude, longitude=longitude, zone=zone)


def _plate(sheet: Sheet, node: Node) -> PlateSize | None:
    keys = sheet.mapping(node, known=KEYS["plates"], required=KEYS["plates"])
    name = _name(sheet, keys)
    size = sheet.value(keys["size"], kit_words.plate_size) if "size" in keys else None
    return None if name is None or size is None else PlateSize(name=name, width=size[0], height=size[1])
