"""XMP sidecars read back by exiftool and by xml.etree; the property names are those of the standards.

ISO 16684-1:2019 (packet wrapper 7.3, serialisation 7.4, Dublin Core 8.3), Exif 2.31 metadata for XMP
(CIPA DC-010-2017) for exposure time, f-number and focal length; section numbers from memory.
"""

from __future__ import annotations

import errno
import json
import shutil
import subprocess
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as xml

import msgspec
import pytest
from PIL import Image

from darkroom.bench import events as ev
from darkroom.log.export import safe_write, xmp_sidecars
from darkroom.log.plate.record import read_record
from tests.kit.exports import EVIL, FIRST, FORMULA, SCRIPT, SECOND, hostile, shelve, worked

needs_exiftool = pytest.mark.skipif(shutil.which("exiftool") is None, reason="needs exiftool")
NS = {
    "rdf": "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
    "dc": "http://purl.org/dc/elements/1.1/",
    "exif": "http://ns.adobe.com/exif/1.0/",
}


def exiftool(*arguments: object) -> str:
    """Run exiftool; return what it says."""
    answer = subprocess.run(
        ["exiftool", *map(str, arguments)], capture_output=True, text=True, check=True, timeout=60
    )
    assert answer.stderr == ""
    return answer.stdout


def tags(path: Path) -> dict[str, Any]:
    """Return what exiftool reads, by group and name, numbers as numbers."""
    (properties,) = json.loads(exiftool("-j", "-G1", "-n", "-struct", "-charset", "utf8", path))
    return properties


@needs_exiftool
def test_exiftool_reads_every_property(season: Path, out: Path, export) -> None:
    """exiftool finds exposure, f-number, focal length, date of capture and words under their right names."""
    assert export("xmp", FIRST, "--to", out)[0] == 0
    properties = tags(out / "apple tree.xmp")
    expected = {
        "XMP-exif:ExposureTime": 8, "XMP-exif:FNumber": 4.5, "XMP-exif:FocalLength": 210,
        "XMP-exif:DateTimeOriginal": "2026:03:01 00:04:45.000+01:00",
        "XMP-photoshop:DateCreated": "2026:03:01 00:04:45.000+01:00",
        "XMP-photoshop:Headline": "Plate 12, Trial", "XMP-dc:Title": "Apple tree",
        "XMP-dc:Creator": ["Ida Tarn"], "XMP-dc:Identifier": FIRST, "XMP-xmp:Rating": 4,
        "XMP-dc:Subject": ["wet collodion", "Trial"],
    }  # fmt: skip
    assert {key: properties.get(key) for key in expected} == expected
    assert "exposed 8 s" in properties["XMP-dc:Description"]


@needs_exiftool
def test_exiftool_finds_nothing_wrong(season: Path, out: Path, export) -> None:
    """exiftool's own check of each sidecar has no error and no warning, hostile words or not."""
    export("xmp", "--all", "--to", out)
    assert len(list(out.iterdir())) == 3
    for path in out.iterdir():
        assert exiftool("-validate", "-warning", "-error", "-a", "-s3", path) == "OK\n", path


@needs_exiftool
def test_a_scan_takes_the_sidecar(season: Path, out: Path, export) -> None:
    """Copied into a scan by exiftool, the sidecar's values are the scan's own Exif values."""
    export("xmp", FIRST, "--to", out)
    scan = out / "apple tree.jpg"
    Image.new("L", (8, 8), 128).save(scan)
    names = ("-ExposureTime", "-FNumber", "-FocalLength")
    exiftool("-q", "-overwrite_original", "-tagsfromfile", out / "apple tree.xmp", *names, scan)
    with Image.open(scan) as image:
        exif = image.getexif().get_ifd(0x8769)
    # Exif 2.31: 33434 ExposureTime, 33437 FNumber, 37386 FocalLength
    assert (exif.get(33434), exif.get(33437), exif.get(37386)) == (8, 4.5, 210)


@needs_exiftool
def test_hostile_words_come_back_from_exiftool(season: Path, out: Path, export) -> None:
    """Markup and quotes are words; signs that XML 1.0 forbids are replaced."""
    export("xmp", EVIL, "--to", out / "evil.xmp")
    properties = tags(out / "evil.xmp")
    assert SCRIPT in properties["XMP-dc:Title"]
    assert properties["XMP-dc:Creator"] == [FORMULA]
    assert "XMP-exif:FocalLength" not in properties


def test_the_packet_is_well_formed_xml(season: Path, out: Path, export) -> None:
    """The packet has its wrapper, one rdf:RDF, one description; lists are of the right kind."""
    export("xmp", EVIL, "--to", out / "evil.xmp")
    data = (out / "evil.xmp").read_bytes()
    assert data.startswith('<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>\n'.encode())
    assert data.endswith(b'<?xpacket end="w"?>\n')
    root = xml.fromstring(data)
    assert root.tag == "{adobe:ns:meta/}xmpmeta"
    (about,) = root.findall("rdf:RDF/rdf:Description", NS)
    assert about.get(f"{{{NS['rdf']}}}about") == ""
    for name, kind in (("title", "Alt"), ("description", "Alt"), ("creator", "Seq"), ("subject", "Bag")):
        assert about.find(f"dc:{name}/rdf:{kind}/rdf:li", NS) is not None, name
    language = about.find("dc:title/rdf:Alt/rdf:li", NS)
    assert language is not None
    assert language.get("{http://www.w3.org/XML/1998/namespace}lang") == "x-default"


@pytest.mark.parametrize("plate", [worked(), hostile(), worked(aperture=None, lens=None, who=None)[:8]])
def test_the_packet_is_what_a_library_writes(home: Path, plate: list[ev.AnyEvent]) -> None:
    """Byte for byte as xml.etree writes the same elements, indented, with the prefixes of the standards."""
    prefixes = (("x", "adobe:ns:meta/"), ("xmp", "http://ns.adobe.com/xap/1.0/"),
                ("photoshop", "http://ns.adobe.com/photoshop/1.0/"), *NS.items())  # fmt: skip
    for prefix, space in prefixes:
        xml.register_namespace(prefix, space)
    packet = xmp_sidecars.sidecar(read_record(shelve(home, plate))).decode()
    body = packet.partition("?>\n")[2].partition("\n<?xpacket")[0]
    root = xml.fromstring(body)
    xml.indent(root)
    assert xml.tostring(root, encoding="unicode") == body


def test_what_is_not_known_is_left_out(home: Path) -> None:
    """A plate that was not exposed has no exposure time and no date of capture."""
    record = read_record(shelve(home, worked(aperture=None, lens=None, who=None)[:8]))
    root = xml.fromstring(xmp_sidecars.sidecar(record))
    assert root.findall(".//exif:*", NS) == []
    assert root.findall(".//dc:date", NS) == [] and root.findall(".//dc:creator", NS) == []


def test_a_hostile_process_is_words(home: Path) -> None:
    """A process whose name holds forbidden signs and markup still makes well-formed XML."""
    events = hostile()
    start = events[0]
    assert isinstance(start, ev.PlateStarted)
    start.process["name"] = f"a\x00{SCRIPT}"
    root = xml.fromstring(xmp_sidecars.sidecar(read_record(shelve(home, events))))
    headline = root.find(".//{http://ns.adobe.com/photoshop/1.0/}Headline")
    assert headline is not None and headline.text == f"Plate 13, a\ufffd{SCRIPT}"


@pytest.mark.parametrize(("seconds", "rational"), [(8.0, "8/1"), (0.25, "1/4"), (12.345, "2469/200")])
def test_an_exposure_is_an_exact_rational(home: Path, seconds: float, rational: str) -> None:
    """Exposure time is a rational number of seconds, to the millisecond that the journal has."""
    plate = [
        msgspec.structs.replace(line, exposed=seconds)
        if isinstance(line, ev.StageEnded) and line.stage == "expose"
        else line
        for line in worked()
    ]
    root = xml.fromstring(xmp_sidecars.sidecar(read_record(shelve(home, plate))))
    assert root.findtext(".//exif:ExposureTime", namespaces=NS) == rational


def test_two_plates_on_one_scan_have_two_sidecars(home: Path, out: Path, export) -> None:
    """The second does not take the first one's name; a scan's path leads to no other folder."""
    shelve(home, worked())
    shelve(home, worked(SECOND, 14))
    assert export("xmp", "--all", "--to", out) == (0, f"2 plates written to 2 files in {out}\n")
    assert sorted(path.name for path in out.iterdir()) == [f"{SECOND}.xmp", "apple tree.xmp"]


@pytest.mark.parametrize(
    ("scan", "name"),
    [("../../etc/passwd", "passwd.xmp"), ("C:\\scans\\7.tif", "7.xmp"), ("..", f"{FIRST}.xmp"),
     ("/", f"{FIRST}.xmp"), ("a\0b\n.tif", "ab.xmp"), ("plate.12.tif", "plate.12.xmp"),
     ("  ", f"{FIRST}.xmp")],
)  # fmt: skip
def test_the_name_is_the_scans(home: Path, scan: str, name: str) -> None:
    """A sidecar is called as its scan is, without its folders; else as the plate's id."""
    events = worked()
    events[-1] = msgspec.structs.replace(events[-1], value=scan)
    assert xmp_sidecars.name(read_record(shelve(home, events))) == name


def test_an_existing_sidecar_stops_all(season: Path, out: Path, export) -> None:
    """When one name is taken none is written."""
    (out / f"{SECOND}.xmp").write_text("mine")
    status, err = export("xmp", "--all", "--to", out)
    assert (status, "is there already" in err) == (2, True)
    assert [path.name for path in out.iterdir()] == [f"{SECOND}.xmp"]


def test_several_plates_need_a_folder(season: Path, out: Path, export) -> None:
    """Three plates do not go into one sidecar; a folder that is not there is made."""
    assert export("xmp", "--all", "--to", out / "one.xmp")[0] == 2
    status, said = export("xmp", "--all", "--to", out / "new")
    assert (status, said) == (0, f"3 plates written to 3 files in {out}/new\n")
    assert len(list((out / "new").glob("*.xmp"))) == 3
    assert export("xmp", "--all", "--to", out / "new")[0] == 2  # they are there already


def test_a_folder_that_cannot_be_made_is_told(season: Path, out: Path, export) -> None:
    """No folder to make it in, a file of its name, a place of the journals: each says so plainly."""
    (out / "file").write_text("")
    for place, status, reason in (
        (out / "none" / "new", 2, f"there is no folder {out}/none"),
        (out / "file", 2, "is no folder: the .xmp files of plates need one"),
        (season / "plates" / "new", 2, "belongs to the journals"),
    ):
        got, said = export("xmp", "--all", "--to", place)
        assert (got, reason in said) == (status, True), said
    assert not (season / "plates" / "new").exists()


def test_a_folder_that_stays_empty_is_taken_away(season: Path, out: Path, export) -> None:
    """When no sidecar could be written, the folder that was made for them is gone again."""

    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(safe_write, "put", full)
        assert export("xmp", "--all", "--to", out / "new")[0] == 1
    assert not (out / "new").exists()
