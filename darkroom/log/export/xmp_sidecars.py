"""XMP sidecars for scans of plates: ISO 16684-1, with Dublin Core, Exif, photoshop and xmp properties.

A property is written when the journal knows its value, and left out when it would be a guess: a lens
without a focal length in its words has none here. The date of capture is the begin of the exposure.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import PurePath, PureWindowsPath
from xml.sax.saxutils import escape

from darkroom.log.plate import bottle_text
from darkroom.log.plate.own_speed import OwnSpeed, own_speed, speed_text
from darkroom.log.plate.record import PlateRecord
from darkroom.log.plate.scene_text import aperture_text, light_text
from darkroom.log.plate.wall_time import parsed
from darkroom.process.text.durations import say_duration
from darkroom.process.text.lens_words import SMALLEST, WIDEST, f_number, focal_length
from darkroom.process.text.plain_text import legal

_NS = {
    "dc": "http://purl.org/dc/elements/1.1/",
    "exif": "http://ns.adobe.com/exif/1.0/",
    "photoshop": "http://ns.adobe.com/photoshop/1.0/",
    "rdf": "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
    "x": "adobe:ns:meta/",
    "xmp": "http://ns.adobe.com/xap/1.0/",
}
"""The name space of each prefix, in the order in which they are declared."""
_BEGIN = '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>\n'
_END = '\n<?xpacket end="w"?>\n'


def sidecar(record: PlateRecord) -> bytes:
    """Return the sidecar of a plate's scan as UTF-8.

    It is put together as text: every value goes through `_element`, which escapes it.
    """
    properties = list(_properties(record))
    used = {"x", "rdf", *(prefix for prefix, _ in properties)}
    spaces = "".join(f' xmlns:{prefix}="{uri}"' for prefix, uri in _NS.items() if prefix in used)
    inside = "".join(lines for _, lines in properties)
    return (
        f'{_BEGIN}<x:xmpmeta{spaces}>\n  <rdf:RDF>\n    <rdf:Description rdf:about="">\n{inside}'
        f"    </rdf:Description>\n  </rdf:RDF>\n</x:xmpmeta>{_END}"
    ).encode()


def _properties(record: PlateRecord) -> Iterator[tuple[str, str]]:
    """Yield (prefix, lines) of each property that the journal knows the value of."""
    start, judged = record.log.start, record.judged
    subject = start.subject if start and start.subject else None
    yield _list("dc", "title", "Alt", [subject or record.title])
    yield _list("dc", "description", "Alt", [describe(record)])
    if start is not None and start.who:
        yield _list("dc", "creator", "Seq", [start.who])
    yield _list("dc", "subject", "Bag", _keywords(record))
    yield _simple("dc", "identifier", record.log.plate)
    taken = _taken(record)
    if taken is not None:
        yield _list("dc", "date", "Seq", [taken])
        yield _simple("exif", "DateTimeOriginal", taken)
        yield _simple("photoshop", "DateCreated", taken)
    if record.exposed is not None and record.exposed > 0:
        yield _simple("exif", "ExposureTime", _rational(Fraction(str(record.exposed))))
    number = _f_number(record)
    if number is not None:
        yield _simple("exif", "FNumber", _rational(number))
    length = focal_length(start.lens if start else None)
    if length is not None:
        yield _simple("exif", "FocalLength", _rational(length))
    yield _simple("photoshop", "Headline", ", ".join(filter(None, (record.title, record.process))))
    if judged.stars is not None:
        yield _simple("xmp", "Rating", str(judged.stars))


def name(record: PlateRecord) -> str:
    """Return the file name of the sidecar: that of the picture or scan the log knows, else the plate's id."""
    scan = record.picture or record.judged.detail("scan")
    stem = PurePath(PureWindowsPath(scan.strip()).name).stem if scan else ""
    stem = "".join(sign for sign in stem if sign.isprintable() and sign not in '/\\:*?"<>|').strip(" .")
    return f"{stem.encode()[:180].decode('utf-8', 'ignore') or record.log.plate}.xmp"


def describe(record: PlateRecord) -> str:
    """Return the plate in a few sentences, one a line."""
    start, judged = record.log.start, record.judged
    made = [record.process, start.size if start else None, f"{record.title} ({record.log.plate})"]
    taken = [
        None if record.exposed is None else f"exposed {say_duration(record.exposed)}",
        aperture_text(record.scene, record.aperture),
        start.lens if start else None,
        light_text(record.scene, start.light if start else None),
    ]
    parts = [", ".join(filter(None, made)), ", ".join(filter(None, taken))]
    parts += [speed] if (speed := _speed_remark(record)) else []
    parts += [f"bottles: {used}"] if (used := bottle_text.names_text(record)) else []
    parts += [*(f"fault: {fault.text}" for fault in judged.faults), *judged.notes]
    return "\n".join(filter(None, parts))


def _f_number(record: PlateRecord) -> Fraction | None:
    """Return the f-number of the scene, else one that the words for the aperture name."""
    if record.scene is None or record.scene.f_number is None:
        return f_number(record.aperture)
    number = record.scene.f_number
    return Fraction(str(number)).limit_denominator(1000) if WIDEST <= number <= SMALLEST else None


def _speed_remark(record: PlateRecord) -> str | None:
    """Return the plate's speed as a remark. It is no property, which would claim that it was measured."""
    speed = own_speed(record)
    text = speed_text(speed) if isinstance(speed, OwnSpeed) else None
    return None if text is None else f"speed {text}: reckoned from how the plate was judged, not measured"


def _keywords(record: PlateRecord) -> list[str]:
    makes = record.state.process.makes if record.state else None
    return [keyword for keyword in ("wet collodion", record.process, makes) if keyword]


def _taken(record: PlateRecord) -> str | None:
    """Return when the lens was opened, ISO 8601 with offset, or None when no exposure was made."""
    stage = record.exposure_stage
    opened = parsed(stage.started) if stage else None
    return None if opened is None else opened.isoformat(timespec="milliseconds")


def _simple(prefix: str, local: str, value: str) -> tuple[str, str]:
    """Return (prefix, lines) of a property with one value."""
    return prefix, f"      {_element(f'{prefix}:{local}', value)}\n"


def _list(prefix: str, local: str, kind: str, values: list[str]) -> tuple[str, str]:
    """Return (prefix, lines) of a property with a list of values; an Alt is in the default language."""
    attributes = ' xml:lang="x-default"' if kind == "Alt" else ""
    items = "".join(f"          {_element('rdf:li', value, attributes)}\n" for value in values)
    return prefix, (
        f"      <{prefix}:{local}>\n        <rdf:{kind}>\n{items}        </rdf:{kind}>\n"
        f"      </{prefix}:{local}>\n"
    )


def _element(tag: str, value: str, attributes: str = "") -> str:
    """Return an element with a value as its text."""
    text = escape(legal(value))
    return f"<{tag}{attributes}>{text}</{tag}>" if text else f"<{tag}{attributes} />"


def _rational(value: Fraction) -> str:
    short = value.limit_denominator(1000)
    return f"{short.numerator}/{short.denominator}"
