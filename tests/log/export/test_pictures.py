"""The pictures of plates on exported pages: linked from where the page lies, or embedded."""

from __future__ import annotations

import base64
import re
from pathlib import Path
from urllib.parse import unquote

import pytest

from darkroom.bench import events as ev
from darkroom.log.export import pictures
from darkroom.log.export.xmp_sidecars import name
from darkroom.log.plate.record import read_record
from tests.kit.exports import FIRST, shelve, worked
from tests.kit.pictures import picture_file


def _with_picture(home: Path, path: Path | str, plate: str = FIRST) -> Path:
    events = worked(plate)
    detail = ev.Detail(n=events[-1].n + 1, at=events[-1].at, up=None, key="picture", value=str(path))
    return shelve(home, [*events, detail])


def _addresses(page: Path) -> list[str]:
    return re.findall(r'<a href="(?!#)([^"]*)"', page.read_text(encoding="utf-8"))


def test_a_report_links_the_picture_from_where_it_lies(home: Path, out: Path, export) -> None:
    """The address leads from the report to the file, whatever signs its name has; nothing is loaded."""
    scan = picture_file(home.parent / "scans" / 'apple "tree": 100% #1.jpg')
    _with_picture(home, scan)
    status, said = export("html", FIRST, "--to", out / "report.html")
    assert status == 0 and "1 picture linked" in said
    (address,) = _addresses(out / "report.html")
    assert not re.match(r"[a-z]+:|/", address)
    assert (out / unquote(address)).resolve() == scan.resolve()
    text = (out / "report.html").read_text(encoding="utf-8")
    assert "JPEG, 40 × 30" in text and "<img" not in text and "img-src" not in text


def test_embedded_it_travels_with_the_report(home: Path, out: Path, export) -> None:
    """--embed puts a small JPEG into the page, lets it be shown and no other, and says how large it is."""
    _with_picture(home, picture_file(home.parent / "scans" / "1.tif", (400, 300), "TIFF"))
    status, said = export("html", FIRST, "--to", out / "report.html", "--embed")
    assert status == 0 and "1 picture embedded, 0.1 MB" in said
    text = (out / "report.html").read_text(encoding="utf-8")
    (data,) = re.findall(r'<img src="data:image/jpeg;base64,([^"]*)"', text)
    assert base64.b64decode(data).startswith(b"\xff\xd8\xff")
    assert "img-src data:;" in text and "default-src 'none'" in text


def test_a_picture_behind_a_link_is_read_and_stays(home: Path, out: Path, export) -> None:
    """A link to a scan is embedded as the scan itself; neither is changed, and no page goes over the link."""
    scan = picture_file(home.parent / "scans" / "1.jpg")
    link = out / "plate.jpg"
    link.symlink_to(scan)
    before = scan.read_bytes()
    _with_picture(home, link)
    status, said = export("html", FIRST, "--to", out / "report.html", "--embed")
    assert status == 0 and "1 picture embedded" in said
    status, said = export("html", FIRST, "--to", link, "--embed", "--force")
    assert status == 2 and "is a link" in said
    assert (link.readlink(), scan.read_bytes()) == (scan, before)


@pytest.mark.parametrize("embed", [(), ("--embed",)])
def test_a_picture_that_is_gone_is_said(home: Path, out: Path, export, embed: tuple[str, ...]) -> None:
    """The report is written, names the file as not there now, and the narration says which plate it is."""
    _with_picture(home, home.parent / "gone.jpg")
    status, said = export("html", FIRST, "--to", out / "report.html", *embed)
    assert status == 0 and "Plate 12:" in said and "there is no such file" in said
    assert "not there now" in (out / "report.html").read_text(encoding="utf-8")


def test_more_than_a_page_bears_is_linked(
    home: Path, out: Path, export, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Beyond the bound a picture is linked, and that is said."""
    monkeypatch.setattr(pictures, "MOST_BYTES", 100)
    _with_picture(home, picture_file(home.parent / "1.jpg"))
    said = export("html", FIRST, "--to", out / "report.html", "--embed")[1]
    assert "this one is linked" in said and "1 picture linked" in said
    assert "<img" not in (out / "report.html").read_text(encoding="utf-8")


def test_embed_goes_with_a_page_that_shows_pictures(home: Path, out: Path, export) -> None:
    """For a table it is wrong use."""
    shelve(home, worked())
    status, said = export("csv", FIRST, "--to", out / "t.csv", "--embed")
    assert status == 2 and "--embed goes with html" in said


def test_label_and_sidecar_have_the_name_of_the_picture(home: Path, out: Path, export) -> None:
    """The label prints the file's name; the sidecar is called like the picture."""
    path = _with_picture(home, "/scans/2026/plate twelve.tif")
    export("labels", FIRST, "--to", out / "labels.html")
    assert "plate twelve.tif" in (out / "labels.html").read_text(encoding="utf-8")
    assert name(read_record(path)) == "plate twelve.xmp"
    assert pictures.file_name("C:\\scans\\a.tif") == "a.tif"
