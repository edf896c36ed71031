"""An export written to disk: all plates into one file or folder, or a file for each plate into one."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from tempfile import SpooledTemporaryFile

from darkroom.errors import NotWritten, WrongUse
from darkroom.log.export import part_files, safe_folder, safe_write
from darkroom.log.export.registry import Format, OneFile, OneFolder, OnePlate, Wanted
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
    targets: dict[str, tuple[Path, int]] = {}
    with SpooledTemporaryFile(IN_MEMORY) as contents:
        for plate in plates:
            name, data = writer(plate)
            plate_id = plate.log.plate
            others = (f"{plate_id}-{number}{form.suffix}" for number in range(2, 100))
            names = [name, f"{plate_id}{form.suffix}", *others]  # two plates on one scan
            name = next(name for name in names if name.casefold() not in targets)
            target = safe_write.check(to if single else to / name, home, force=force)
            targets[name.casefold()] = target, len(data)
            contents.write(data)
        contents.seek(0)
        written: list[Path] = []
        show = plates.progress("writing files")
        for folder in {target.parent for target, _ in targets.values()}:
            part_files.clear_left(folder)
        for target, size in targets.values():
            try:
                written.append(safe_write.write(target, [contents.read(size)], home, force=force))
                show(len(written), len(plates))
            except NotWritten as error:
                progress = f"{len(written)} of {len(plates)} files are written"
                raise NotWritten(f"{error}; {progress}") from None
    return written
