"""The pictures of a report: linked from where the report lies, or embedded in it, small, as JPEGs."""

from __future__ import annotations

import base64
import os
from pathlib import Path
from urllib.parse import quote

import msgspec

from darkroom.errors import NotReadable
from darkroom.log.plate.picture import as_jpeg, look, path_of
from darkroom.log.plate.record import PlateRecord
from darkroom.process.text.plain_text import plain

MOST_BYTES = 64 << 20
"""A report holds so many bytes of pictures at most; those beyond are linked."""


class PagePicture(msgspec.Struct, frozen=True, kw_only=True):
    """A picture on a page: its name, the address it is linked by, and what it is or why it is not there.

    `data` is a data address with the picture itself, where it is embedded.
    """

    name: str
    address: str
    words: str
    data: str | None = None


class Pictures:
    """The pictures of one page that is written into `folder`; what became of them is counted."""

    def __init__(self, folder: Path, *, embed: bool = False) -> None:
        self.folder, self.embed = folder, embed
        self.linked = self.embedded = self.embedded_bytes = 0
        self.problems: list[str] = []

    def of(self, record: PlateRecord) -> PagePicture | None:
        """Return the picture of a plate; None where nobody named one."""
        text = record.picture
        if not text:
            return None
        name = file_name(text)
        try:
            path = path_of(text)
            picture = look(path)
        except NotReadable as error:
            self.problems.append(f"{record.title}: {error}")
            return PagePicture(name=name, address=self._address(text), words="not there now")
        data, words = None, picture.words
        if self.embed:
            data = self._embedded(record, path)
        if data is None:
            self.linked += 1
        return PagePicture(name=name, address=self._address(text), words=words, data=data)

    def _embedded(self, record: PlateRecord, path: Path) -> str | None:
        try:
            jpeg = as_jpeg(path)
        except NotReadable as error:
            self.problems.append(f"{record.title}: {error}; linked")
            return None
        if self.embedded_bytes + len(jpeg) > MOST_BYTES:
            self.problems.append(
                f"{record.title}: more than {MOST_BYTES >> 20} MB of pictures; this one is linked"
            )
            return None
        self.embedded += 1
        self.embedded_bytes += len(jpeg)
        return "data:image/jpeg;base64," + base64.b64encode(jpeg).decode("ascii")

    def _address(self, text: str) -> str:
        """Return the address of a file from the page: relative where there is a way, else whole."""
        try:
            path = path_of(text)
            way = os.path.relpath(os.path.realpath(path.parent), os.path.realpath(self.folder))
            return quote((Path(way) / path.name).as_posix(), errors="surrogateescape")
        except (NotReadable, ValueError, OSError):  # another drive, or no path at all
            return quote(text, errors="surrogateescape", safe="")

    @property
    def said(self) -> list[str]:
        """What to say about them: how many are in the page and how large, and what is not there."""
        texts = []
        if self.embedded:
            count = f"{self.embedded} picture" if self.embedded == 1 else f"{self.embedded} pictures"
            texts.append(f"{count} embedded, {max(0.1, self.embedded_bytes / 1e6):.1f} MB")
        if self.linked:
            count = f"{self.linked} picture" if self.linked == 1 else f"{self.linked} pictures"
            texts.append(f"{count} linked")
        return [*texts, *self.problems]


def file_name(text: str) -> str:
    """Return the name of the file that a path as it was typed ends with, for a person to read."""
    return plain(text.replace("\\", "/").rstrip("/").rpartition("/")[2]) or plain(text)
