"""An export written to disk: all plates into one file or folder, or a file for each plate into one."""

from __future__ import annotations

import os
from collections.abc import Container, Iterator
from contextlib import contextmanager, suppress
from itertools import chain
from pathlib import Path
from tempfile import SpooledTemporaryFile

from darkroom.errors import NotWritten, WrongUse
from darkroom.log.export import part_files, safe_folder, safe_write
from darkroom.log.export.registry import Format, OneFile, OneFolder, OnePlate, Wanted
from darkroom.log.export.safe_files import SafeFiles
from darkroom.log.export.selection import Selection
from darkroom.log.journal.plate_files import disk_error_text
from darkroom.log.store import file_mask
from darkroom.log.store.paths import printable

IN_MEMORY = 8 << 20
"""Files for each plate wait in memory up to so many bytes, beyond that in a temporary file."""


def write_export(
    form: Format,
    plates: Selection,
    to: Path,
    home: Path,
    *,
    wanted: Wanted,
    force: bool = False,
) -> list[Path]:
    """Write plates in a format; return the files written. `home` is the folder of the log.

    Raises WrongUse for rows that the format does not have, NotReadable, NotWritten, and what
    `safe_write` raises.
    """
    if form.one_folder is not None:
        return [_one_folder(form.one_folder, plates, to, home, force)]
    if form.one_plate is not None:
        with _folder(form, to, home):
            return _a_file_for_each(form, form.one_plate, plates, to, home, force)
    assert form.one_file is not None
    return _one_file(form.one_file, plates, to, home, wanted, force)


def _one_file(
    writer: OneFile, plates: Selection, to: Path, home: Path, wanted: Wanted, force: bool
) -> list[Path]:
    part_files.clear_left(safe_write.check(to, home, force=force).parent)
    return [safe_write.write(to, writer(plates, wanted), home, force=force)]


def _one_folder(writer: OneFolder, plates: Selection, to: Path, home: Path, force: bool) -> Path:
    writer.check()
    part_files.clear_left(safe_folder.check(to, home, writer.files, force=force).parent)

    def fill(folder: Path) -> None:
        writer.write(plates, folder)

    return safe_folder.write(to, fill, home, writer.files, force=force)


@contextmanager
def _folder(form: Format, to: Path, home: Path) -> Iterator[None]:
    """Make the folder for the files where it is not there, in one that is; an empty one does not stay.

    Raises NotReadable, WrongUse or NotWritten when it cannot be made, with the reason.
    """
    if to.suffix.lower() == form.suffix or os.path.isdir(to):
        yield
        return
    if os.path.lexists(to):
        raise WrongUse(f"{printable(to)} is no folder: the {form.suffix} files of plates need one")
    folder = safe_write.check(to, home)
    try:
        folder.mkdir()
        folder.chmod(0o700 | 0o777 & ~file_mask.of_user())
    except OSError as error:
        raise NotWritten(f"{printable(to)}: the folder cannot be made: {disk_error_text(error)}") from None
    try:
        yield
    finally:
        with suppress(OSError):  # it stays when anything is in it
            folder.rmdir()


def _a_file_for_each(
    form: Format, writer: OnePlate, plates: Selection, to: Path, home: Path, force: bool
) -> list[Path]:
    """Write a file for each plate. All names are looked at before the first is written."""
    single = to.suffix.lower() == form.suffix and not to.is_dir()
    if single and len(plates) > 1:
        raise WrongUse(f"{len(plates)} plates need a folder, not the one file {printable(to)}")
    files = SafeFiles(to.parent if single else to, home, force=force)
    sizes: dict[str, tuple[str, int]] = {}
    with SpooledTemporaryFile(IN_MEMORY) as contents:
        for plate in plates:
            name, data = writer(plate)
            if single:
                name = to.name
            elif name.casefold() in sizes:  # two plates on one scan
                name = _free_name(plate.log.plate, form.suffix, sizes)
            folder = files.check(name).parent
            sizes[name.casefold()] = name, len(data)
            contents.write(data)
        contents.seek(0)
        written: list[Path] = []
        show = plates.progress("writing files")
        if sizes:
            part_files.clear_left(folder)
        with _names_kept(files):
            for name, size in sizes.values():
                try:
                    written.append(files.write(name, contents.read(size)))
                    show(len(written), len(plates))
                except NotWritten as error:
                    progress = f"{len(written)} of {len(plates)} files are written"
                    raise NotWritten(f"{error}; {progress}") from None
    return written


def _free_name(plate: str, suffix: str, taken: Container[str]) -> str:
    """Return a name made of a plate's id that none of `taken`, without regard to case, has yet."""
    names = chain([f"{plate}{suffix}"], (f"{plate}-{number}{suffix}" for number in range(2, 100)))
    return next(name for name in names if name.casefold() not in taken)


@contextmanager
def _names_kept(files: SafeFiles) -> Iterator[None]:
    """Make the names of the files durable at the end, also of those before one that was not written."""
    try:
        yield
    except (NotWritten, WrongUse) as error:
        try:
            files.keep_names()
        except NotWritten as not_kept:
            raise NotWritten(f"{error}; {not_kept}") from None
        raise
    files.keep_names()
