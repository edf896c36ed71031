"""XMP sidecars for scans of plates: ISO 16684-1, with Dublin Core, Exif, photoshop and xmp properties.

A property is written when the journal knows its value, and left out when it would be a guess: a lens
without a focal length in its words has none here. The date of capture is the begin of the exposure.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import PurePath, PureWindowsPath
from xml.etree import ElementTree as xml

from darkroom.log.plate import bottle_text
from darkroom.log.plate.own_speed import OwnSpeed, own_speed, speed_text
from darkroom.log.plate.record import PlateRecord
from darkroom.log.plate.scene_text import aperture_text, light_text
from darkroom.log.plate.wall_time import parsed
from darkroom.process.text.durations import say_duration
from darkroom.process.text.lens_words import SMALLEST, WIDEST, f_number, focal_length
from darkroom.process.text.plain_text import legal

_NS = {
    "x": "adobe:ns:meta/",
    "rdf": "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
    "dc": "http://purl.org/dc/elements/1.1/",
    "xmp": "http://ns.adobe.com/xap/1.0/",
    "exif": "http://ns.adobe.com/exif/1.0/",
    "photoshop": "http://ns.adobe.com/photoshop/1.0/",
}
_LANG = "{http://www.w3.org/XML/1998/namespace}lang"
_BEGIN = '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>\n'
_END = '\n<?xpacket end="w"?>\n'


def sidecar(record: PlateRecord) -> bytes:
    """Return the sidecar of a plate's scan as UTF-8."""
    for prefix, uri in _NS.items():
        xml.register_namespace(prefix, uri)
    meta = xml.Element(_tag("x", "xmpmeta"))
    rdf = xml.SubElement(meta, _tag("rdf", "RDF"))
    about = xml.SubElement(rdf, _tag("rdf", "Description"), {_tag("rdf", "about"): ""})
    start, judged = record.log.start, record.judged
    subject = start.subject if start and start.subject else None
    _list(about, "dc", "title", "Alt", [subject or record.title])
    _list(about, "dc", "description", "Alt", [describe(record)])
    if start is not None and start.who:
        _list(about, "dc", "creator", "Seq", [start.who])
    _list(about, "dc", "subject", "Bag", _keywords(record))
    _simple(about, "dc", "identifier", record.log.plate)
    taken = _taken(record)
    if taken is not None:
        _list(about, "dc", "date", "Seq", [taken])
        _simple(about, "exif", "DateTimeOriginal", taken)
        _simple(about, "photoshop", "DateCreated", taken)
    if record.exposed is not None and record.exposed > 0:
        _simple(about, "exif", "ExposureTime", _rational(Fraction(str(record.exposed))))
    number = _f_number(record)
    if number is not None:
        _simple(about, "exif", "FNumber", _rational(number))
    length = focal_length(start.lens if start else None)
    if length is not None:
        _simple(about, "exif", "FocalLength", _rational(length))
    _simple(about, "photoshop", "Headline", ", ".join(filter(None, (record.title, record.process))))
    if judged.stars is not None:
        _simple(about, "xmp", "Rating", str(judged.stars))
    xml.indent(meta)
    return (_BEGIN + xml.tostring(meta, encoding="unicode") + _END).encode()


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


def _tag(prefix: str, local: str) -> str:
    return f"{{{_NS[prefix]}}}{local}"


def _simple(about: xml.Element, prefix: str, local: str, value: str) -> None:
    xml.SubElement(about, _tag(prefix, local)).text = legal(value)


def _list(about: xml.Element, prefix: str, local: str, kind: str, values: list[str]) -> None:
    holder = xml.SubElement(xml.SubElement(about, _tag(prefix, local)), _tag("rdf", kind))
    for value in values:
        item = xml.SubElement(holder, _tag("rdf", "li"))
        if kind == "Alt":
            item.set(_LANG, "x-default")
        item.text = legal(value)


def _rational(value: Fraction) -> str:
    short = value.limit_denominator(1000)
    return f"{short.numerator}/{short.denominator}"
