"""A picture beside a plate: known by its content, made small for a page, never a reason to fail."""

from __future__ import annotations

import os
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from darkroom.errors import NotReadable
from darkroom.log.plate import picture
from tests.kit.pictures import ROTATED, picture_file


@pytest.mark.parametrize("form", ["JPEG", "PNG", "TIFF", "WEBP", "GIF", "BMP", "JPEG2000"])
def test_a_picture_is_known_by_its_content(tmp_path: Path, form: str) -> None:
    """Whatever its name says, the head of the file tells what it is and how large."""
    found = picture.look(picture_file(tmp_path / "plate.txt", form=form))
    assert (found.kind, found.width, found.height) == (form, 40, 30)
    assert found.words == f"{form}, 40 × 30"
    assert found.size == (tmp_path / "plate.txt").stat().st_size


def test_what_is_no_picture_says_why(tmp_path: Path) -> None:
    """Words named like a picture, nothing at all, a folder, a pipe and a device: each has its reason."""
    words, empty, pipe = tmp_path / "words.jpg", tmp_path / "empty.jpg", tmp_path / "pipe.jpg"
    words.write_text("<svg onload='alert(1)'/>")
    empty.write_bytes(b"")
    os.mkfifo(pipe)
    for path, reason in (
        (words, r"it is no picture \(JPEG, PNG, TIFF and the like\)"),
        (empty, "is no picture"),
        (pipe, "is not a plain file"),
        (tmp_path, "not a plain file"),
        (Path("/dev/zero"), "is not a plain file"),
        (tmp_path / "gone.jpg", "there is no such file"),
        (tmp_path / "a\0b.jpg", "no file can be called so"),
    ):
        with pytest.raises(NotReadable, match=reason):
            picture.look(path)


def test_a_path_is_made_whole(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A path from where one stands, and one from the user's folder, mean the same file ever after."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HOME", str(tmp_path / "me"))
    assert picture.path_of(" scans/1.jpg ") == tmp_path / "scans" / "1.jpg"
    assert picture.path_of("~/1.jpg") == tmp_path / "me" / "1.jpg"


def _small(path: Path) -> Image.Image:
    return Image.open(BytesIO(picture.as_jpeg(path)))


def test_an_embedded_picture_is_small_upright_and_bare(tmp_path: Path) -> None:
    """A large scan becomes a JPEG of 1600 pixels, turned as its camera said, without its other data."""
    path = picture_file(tmp_path / "a.jpg", (4000, 3000), orientation=ROTATED)
    small = _small(path)
    assert (small.format, small.size) == ("JPEG", (1200, 1600))
    assert not small.getexif() and b"a maker" not in picture.as_jpeg(path)
    red, _, blue = small.getpixel((600, 100))  # type: ignore[misc]
    assert red > blue  # the left of the scan is the top
    assert len(picture.as_jpeg(path)) < 500_000


def test_sixteen_bits_and_glass_are_shown_as_seen(tmp_path: Path) -> None:
    """A scan of 16 bits keeps its greys; what is transparent becomes paper."""
    grey = Image.new("I;16", (8, 8), 0x8000)
    grey.save(tmp_path / "grey.tif")
    assert _small(tmp_path / "grey.tif").getpixel((4, 4)) == (128, 128, 128)
    Image.new("RGBA", (8, 8), (255, 0, 0, 0)).save(tmp_path / "clear.png")
    assert min(_small(tmp_path / "clear.png").getpixel((4, 4))) > 250  # type: ignore[arg-type, type-var]


def test_a_damaged_picture_is_told_of(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Half a file, and more pixels than are decoded, are reasons and no tracebacks."""
    whole = picture_file(tmp_path / "a.png", (300, 300), "PNG").read_bytes()
    half = tmp_path / "half.png"
    half.write_bytes(whole[: len(whole) // 2])
    with pytest.raises(NotReadable, match="cannot be decoded"):
        picture.as_jpeg(half)
    monkeypatch.setattr(picture, "MOST_PIXELS", 1000)
    with pytest.raises(NotReadable, match="300 × 300 pixels are too many"):
        picture.as_jpeg(tmp_path / "a.png")
