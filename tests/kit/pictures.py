"""Small pictures as files, for tests."""

from __future__ import annotations

from pathlib import Path

from PIL import Image

ROTATED = 6
"""The EXIF orientation of a picture that is to be turned a quarter right (EXIF 2.32, tag 0x0112)."""


def picture_file(
    path: Path, size: tuple[int, int] = (40, 30), form: str = "JPEG", *, orientation: int | None = None
) -> Path:
    """Write a picture, reddish at the left and bluish at the right; return its path."""
    picture = Image.new("RGB", size, (200, 40, 40))
    picture.paste((40, 40, 200), (size[0] // 2, 0, *size))
    exif = Image.Exif()
    if orientation is not None:
        exif[0x0112] = orientation
        exif[0x010F] = "a maker that stays private"
    path.parent.mkdir(parents=True, exist_ok=True)
    picture.save(path, form, exif=exif)
    return path
