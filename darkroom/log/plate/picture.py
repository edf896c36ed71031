"""The picture beside a plate: a scan or a photograph of it on this computer, named by its path.

A file counts as a picture by its content, never by its name. What cannot be read is said, and is no error of
the plate: pictures are moved, and disks are taken away.
"""

from __future__ import annotations

import os
import warnings
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

import msgspec

from darkroom import plain_files
from darkroom.errors import NotReadable
from darkroom.log.store.paths import printable

if TYPE_CHECKING:
    from PIL.Image import Image

KEY = "picture"
"""The key of the detail that holds the path."""
KINDS = ("JPEG", "PNG", "TIFF", "WEBP", "GIF", "BMP", "JPEG2000")
"""The formats that are known, as Pillow names them."""
SIDE, QUALITY = 1600, 82
"""An embedded picture is a JPEG of this quality (of 95), its longer side at most so many pixels."""
MOST_PIXELS = 120_000_000
"""No more are decoded: three bytes each, and as much again to make the picture smaller."""


class Picture(msgspec.Struct, frozen=True):
    """A picture as its file's head tells it; `size` is of the file, in bytes."""

    path: Path
    kind: str
    width: int
    height: int
    size: int

    @property
    def words(self) -> str:
        """What it is: "JPEG, 3000 × 2400"."""
        return f"{self.kind}, {self.width} × {self.height}"


def path_of(text: str) -> Path:
    """Return the path that someone typed, absolute; "~" is the user's folder. Raises NotReadable."""
    try:
        return Path(os.path.abspath(Path(text.strip()).expanduser()))
    except (OSError, RuntimeError, ValueError) as error:
        raise NotReadable(f"{text.strip()[:60]}: {error}") from None


def look(path: Path) -> Picture:
    """Return what the file holds, by its first bytes. Raises NotReadable, with the reason."""
    with _opened(path) as file:
        image = _image(path, file)
        size = os.fstat(file.fileno()).st_size
        return Picture(path, image.format or "", image.width, image.height, size)


def as_jpeg(path: Path) -> bytes:
    """Return the picture as a JPEG of at most `SIDE` pixels, upright, with nothing else of its file in it.

    Raises NotReadable for one that is too large to decode, or damaged.
    """
    from io import BytesIO

    from PIL import ImageOps

    with _opened(path) as file:
        image = _image(path, file)
        try:
            image.draft("RGB", (SIDE, SIDE))  # a JPEG is decoded no larger than it must be
            if image.width * image.height > MOST_PIXELS:
                raise ValueError(f"{image.width} × {image.height} pixels are too many")
            upright = ImageOps.exif_transpose(_in_eight_bits(image))
            upright.thumbnail((SIDE, SIDE))
            jpeg = BytesIO()
            upright.save(jpeg, "JPEG", quality=QUALITY)
        except (OSError, ValueError, SyntaxError, EOFError, IndexError, MemoryError) as error:
            raise NotReadable(f"it cannot be decoded ({error}): {printable(path)}") from None
        return jpeg.getvalue()


def _opened(path: Path) -> BinaryIO:
    """Open a plain file; a pipe or a device is not waited for. Raises NotReadable."""
    shown = printable(path)
    try:
        return os.fdopen(plain_files.open_plain(path), "rb")
    except plain_files.NotPlain as error:
        raise NotReadable(f"it is {plain_files.reason(error)}: {shown}") from None
    except FileNotFoundError:
        raise NotReadable(f"there is no such file: {shown}") from None
    except OSError as error:
        raise NotReadable(f"it cannot be read ({plain_files.reason(error)}): {shown}") from None


def _image(path: Path, file: BinaryIO) -> Image:
    """Return the picture in a file, its pixels not read yet. Raises NotReadable."""
    from PIL import Image

    Image.MAX_IMAGE_PIXELS = None  # scans are large: `as_jpeg` looks at their size before it decodes them
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return Image.open(file, formats=KINDS)
    except Exception:  # a decoder meets any bytes here
        kinds = ", ".join(KINDS[:3])
        raise NotReadable(f"it is no picture ({kinds} and the like): {printable(path)}") from None


def _in_eight_bits(image: Image) -> Image:
    """Return a picture in RGB: 16 bits are scaled, what is transparent becomes white."""
    from PIL import Image

    if image.mode.startswith("I;16") or image.mode == "I":
        image = image.convert("I").point(lambda value: value / 256).convert("L")
    if image.mode in ("RGBA", "LA", "PA") or "transparency" in image.info:
        layer = image.convert("RGBA")
        ground = Image.new("RGB", layer.size, "white")
        ground.paste(layer, mask=layer.getchannel("A"))
        ground.info["exif"] = image.info.get("exif", b"")
        return ground
    return image.convert("RGB")
