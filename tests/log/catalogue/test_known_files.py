"""A folder is passed over only where each of its files is as it was when it was read."""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from darkroom.log.catalogue import disk_state
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.store import paths
from tests.kit.catalogue import by_hand, note

pytestmark = pytest.mark.usefixtures("settled")


def folder_instead(path: Path) -> None:
    """Put a folder where a file was."""
    path.unlink()
    path.mkdir()


def changed_back(path: Path, data: bytes) -> None:
    """Write a file, and set its time back."""
    status = path.stat()
    path.write_bytes(data)
    os.utime(path, ns=(status.st_atime_ns, status.st_mtime_ns))


def spilled(path: Path) -> None:
    """Let a plate go on in a spill place, as on a full disk."""
    place = paths.spill_places()[0]
    place.mkdir(parents=True, mode=0o700)
    path_there = place / f"{path.stem}.2.jsonl"
    path_there.write_bytes(b"")


CHANGES: dict[str, Callable[[Path], object]] = {
    "a line": lambda path: by_hand(path, note(900, "x")),
    "another size, the same time": lambda path: changed_back(path, path.read_bytes()[:-50]),
    "other bytes, another time": lambda path: path.write_bytes(path.read_bytes().replace(b"hand", b"HAND")),
    "another file of the same bytes": lambda path: (
        shutil.copy(path, path.with_name("x")),
        path.with_name("x").replace(path),
    ),
    "touched": lambda path: os.utime(path, ns=(0, 5)),
    "gone": lambda path: path.unlink(),
    "renamed": lambda path: path.rename(path.with_name("20260102-030405-zzzzzz.jsonl")),
    "a second file": lambda path: path.with_name(f"{path.stem}.2.jsonl").write_bytes(b""),
    "hidden beside it": lambda path: path.with_name(f".{path.name}").write_bytes(b""),
    "no journal beside it": lambda path: path.with_name("notes.txt").write_bytes(b"x"),
    "a link to it": lambda path: path.with_name("20260102-030405-yyyyyy.jsonl").symlink_to(path),
    "a link to nothing": lambda path: path.with_name("20260102-030405-xxxxxx.jsonl").symlink_to("nothing"),
    "a folder of its name": folder_instead,
    "bytes that are no text": lambda path: shutil.copy(
        path, os.fsdecode(bytes(path.parent) + b"/\xff\xfe.jsonl")
    ),
    "spilled": spilled,
    "nothing": lambda path: None,
}  # fmt: skip


@pytest.mark.parametrize("warm", [False, True])
@pytest.mark.parametrize("change", list(CHANGES))
def test_the_quick_look_leaves_out_nothing(
    home: Path, plates: list[Path], change: str, warm: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With and without the quick look at a folder the same plates are due, whatever changed in it; the
    folders may have been looked at before."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        if warm:
            catalogue.check()
        CHANGES[change](plates[20])
        folders = list(disk_state.folders(home, []))
        quick = catalogue._due(folders, True)
        monkeypatch.setattr(Catalogue, "_is_as_known", lambda *_: False)
        due, lost = catalogue._due(folders, True)
        assert ([group for _, group in quick[0]], quick[1]) == ([group for _, group in due], lost)
        assert bool(due or lost) == (change not in ("nothing", "hidden beside it", "no journal beside it"))


def test_a_file_of_this_moment_is_not_trusted(
    home: Path, plates: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A folder is not passed over while one of its files may change again with the same time: for a moment,
    or for two seconds where the file system tells whole seconds alone."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        folder = next(folder for folder in disk_state.folders(home, []) if folder.path == plates[0].parent)
        assert catalogue._is_as_known(folder, ())
        monkeypatch.setattr(disk_state, "MOMENT_NS", 3_600_000_000_000)
        catalogue._looks.clear()
        assert not catalogue._is_as_known(folder, ())
        monkeypatch.setattr(disk_state, "MOMENT_NS", 0)
        for age, state in ((1, disk_state.UNKNOWN), (10, None)):
            second = (time.time_ns() // 10**9 - age) * 10**9
            os.utime(plates[0], ns=(second, second))
            assert (disk_state.file_state(plates[0]) == disk_state.UNKNOWN) is (state is not None)
