"""Writing an export: whole or not at all, never over another file, on a full disk too."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from darkroom.errors import NotReadable, NotWritten, WrongUse
from darkroom.log.export import safe_write
from darkroom.log.store import durable
from tests.kit.exports import FIRST, SECOND, shelve, worked

no_root = sys.platform != "linux" or os.geteuid() != 0


@contextmanager
def small_disk(at: Path, options: str) -> Iterator[None]:
    """Mount a real disk in memory; the test is skipped by name where that is not allowed."""
    at.mkdir()
    mounting = ["mount", "-t", "tmpfs", "-o", options, "none", str(at)]
    mounted = subprocess.run(mounting, capture_output=True, text=True, check=False)
    if mounted.returncode:
        pytest.skip(f"mount is not allowed here: {mounted.stderr.strip()}")
    try:
        yield
    finally:
        subprocess.run(["umount", "--lazy", str(at)], check=True)


def test_a_file_is_written_whole(home: Path, out: Path) -> None:
    """What was given stands in the file, nothing else in the folder."""
    assert safe_write.write(out / "a", [b"one", b"", b"two" * 200_000], home) == out / "a"
    assert (out / "a").read_bytes() == b"one" + b"two" * 200_000
    assert os.listdir(out) == ["a"]


def test_a_file_that_is_there_is_never_replaced(home: Path, out: Path, export) -> None:
    """Without --force the command leaves the file as it is, says how to replace it, and exits 2."""
    shelve(home, worked())
    (out / "mine").write_bytes(b"my own words")
    for form in ("csv", "jsonl", "html", "labels"):
        status, err = export(form, "--all", "--to", out / "mine")
        assert (status, err) == (2, f"darkroom: {out}/mine is there already; --force replaces it\n")
    assert (out / "mine").read_bytes() == b"my own words"
    assert os.listdir(out) == ["mine"]


def test_a_file_that_appears_meanwhile_is_not_replaced(home: Path, out: Path) -> None:
    """Another program takes the name while the export is made: its file stays, the export is refused."""

    def data() -> Iterator[bytes]:
        yield b"ours"
        (out / "a").write_bytes(b"theirs")

    with pytest.raises(WrongUse, match="is there already"):
        safe_write.write(out / "a", data(), home)
    assert (out / "a").read_bytes() == b"theirs"
    assert os.listdir(out) == ["a"]


def test_force_replaces_at_once_and_keeps_the_permissions(home: Path, out: Path) -> None:
    """With force the name leads to the new bytes; who may read it is as before."""
    (out / "a").write_bytes(b"old")
    (out / "a").chmod(0o640)
    safe_write.write(out / "a", [b"new"], home, force=True)
    assert (out / "a").read_bytes() == b"new"
    assert (out / "a").stat().st_mode & 0o777 == 0o640


def test_an_old_file_stays_when_the_new_one_fails(home: Path, out: Path) -> None:
    """An export that breaks half way leaves the old file and nothing of itself."""
    (out / "a").write_bytes(b"old")

    def data() -> Iterator[bytes]:
        yield b"x" * 1_000_000
        raise OSError(errno.EIO, "broken")

    with pytest.raises(NotWritten):
        safe_write.write(out / "a", data(), home, force=True)
    assert (out / "a").read_bytes() == b"old"
    assert os.listdir(out) == ["a"]


@pytest.mark.parametrize(("at", "left"), [("sync", []), ("sync_folder", ["a"])])
def test_what_the_disk_did_not_keep_is_not_called_done(
    home: Path, out: Path, monkeypatch: pytest.MonkeyPatch, at: str, left: list[str]
) -> None:
    """A failed fsync, of the file or of its folder, is told."""

    def fail(*_: object) -> None:
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(durable, at, fail)
    with pytest.raises(NotWritten, match="power cut" if left else "not written"):
        safe_write.write(out / "a", [b"x"], home)
    assert os.listdir(out) == left


def test_the_file_is_durable_before_it_has_its_name(
    home: Path, out: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The bytes are synced while the name is still free, the folder after it is taken."""
    steps: list[tuple[str, bool]] = []
    file, folder = durable.sync, durable.sync_folder
    monkeypatch.setattr(durable, "sync", lambda fd: (steps.append(("file", (out / "a").exists())), file(fd)))
    monkeypatch.setattr(
        durable, "sync_folder", lambda at: (steps.append(("folder", (out / "a").exists())), folder(at))
    )
    safe_write.write(out / "a", [b"x"], home)
    assert steps == [("file", False), ("folder", True)]


def test_a_disk_without_second_names(home: Path, out: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where hard links are unknown (FAT) the export is written all the same, and still over nothing."""

    def unknown(*_: object, **__: object) -> None:
        raise OSError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(os, "link", unknown)
    safe_write.write(out / "a", [b"x"], home)
    assert (out / "a").read_bytes() == b"x"

    def data() -> Iterator[bytes]:
        yield b"ours"
        (out / "b").write_bytes(b"theirs")

    with pytest.raises(WrongUse, match="is there already"):
        safe_write.write(out / "b", data(), home)
    assert (out / "b").read_bytes() == b"theirs"
    assert sorted(os.listdir(out)) == ["a", "b"]


def test_places_that_cannot_be_written_are_refused(home: Path, out: Path) -> None:
    """A folder, a missing folder, a device and a loop of links are refused, with force too."""
    (out / "loop").symlink_to("loop")
    for path, error in (
        (out, WrongUse), (out / "none" / "a", NotReadable), (Path("/dev/null"), WrongUse),
        (out / "loop", WrongUse), (out / ("x" * 300), NotReadable), (out / "a\0b", NotReadable),
    ):  # fmt: skip
        with pytest.raises(error):
            safe_write.write(path, [b"x"], home, force=True)
    assert os.listdir(out) == ["loop"]


@pytest.mark.parametrize("force", [False, True])
def test_a_link_is_never_written_through(home: Path, out: Path, force: bool) -> None:
    """A link, one that leads nowhere too, is refused with the reason; what it leads to stays as it is."""
    (out / "real").write_bytes(b"old")
    (out / "link").symlink_to("real")
    (out / "to nothing").symlink_to("missing")
    for name in ("link", "to nothing"):
        with pytest.raises(WrongUse, match="is a link"):
            safe_write.write(out / name, [b"new"], home, force=force)
    assert (out / "real").read_bytes() == b"old"
    assert sorted(os.listdir(out)) == ["link", "real", "to nothing"]


@pytest.mark.parametrize("options", [(), ("--force",)])
def test_a_link_to_a_folder_is_told_as_one(season: Path, out: Path, export, options: tuple[str, ...]) -> None:
    """For one file it is refused, and a file in it asked for; the sidecars of plates go through it."""
    (out / "scans").mkdir()
    for name in ("here", "one.xmp"):
        (out / name).symlink_to("scans")
        for form in ("csv", "jsonl", "html", "labels"):
            status, said = export(form, "--all", "--to", out / name, *options)
            assert (status, said) == (2, f"darkroom: {out / name} is a link to a folder; name a file in it\n")
        assert os.listdir(out / "scans") == []
        assert export("xmp", "--all", "--to", out / name, *options)[0] == 0
        assert len(os.listdir(out / "scans")) == 3
        for sidecar in (out / "scans").iterdir():
            sidecar.unlink()
    assert (out / "here").readlink() == (out / "one.xmp").readlink() == Path("scans")


@pytest.mark.parametrize("options", [(), ("--force",)])
def test_no_sidecar_is_written_through_a_link(
    season: Path, out: Path, export, options: tuple[str, ...]
) -> None:
    """A link under the name of one sidecar refuses all of them before the first is written."""
    (out / "mine").write_bytes(b"mine")
    (out / "scans").mkdir()
    (out / "scans" / f"{SECOND}.xmp").symlink_to(out / "mine")
    status, said = export("xmp", "--all", "--to", out / "scans", *options)
    assert status == 2 and "is a link, which is never written through" in said
    status, said = export("xmp", SECOND, "--to", out / "scans" / f"{SECOND}.xmp", *options)
    assert status == 2 and "is a link, which is never written through" in said
    assert os.listdir(out / "scans") == [f"{SECOND}.xmp"]
    assert (out / "mine").read_bytes() == b"mine"


def test_a_folder_may_be_reached_by_a_link(home: Path, out: Path) -> None:
    """Links among the folders are the user's own: the file lies in the folder that they lead to."""
    (out / "scans").mkdir()
    (out / "here").symlink_to("scans")
    assert safe_write.write(out / "here" / "a", [b"x"], home) == (out / "scans" / "a").resolve()


def test_no_journal_is_ever_replaced(home: Path, out: Path, export) -> None:
    """Not with --force, not through a link, not by a name in its folder: the journals stay as they are."""
    journal = shelve(home, worked())
    before = journal.read_bytes()
    (out / "link").symlink_to(journal)
    spilled = out / f"{FIRST}.2.jsonl"
    spilled.write_bytes(b"unsaved elsewhere")
    (home / "bench.json").write_bytes(b"{}")
    for to in (journal, out / "link", journal.with_name("new.csv"), spilled, home / "bench.json"):
        status, _ = export("jsonl", "--all", "--to", to, "--force")
        assert status == 2, to
    assert journal.read_bytes() == before
    assert spilled.read_bytes() == b"unsaved elsewhere"
    assert (home / "bench.json").read_bytes() == b"{}"
    assert os.listdir(journal.parent) == [journal.name]


@pytest.mark.parametrize("form", ["csv", "jsonl", "html", "labels", "xmp"])
def test_every_export_can_be_made_again(season: Path, out: Path, export, form: str) -> None:
    """With --force an export replaces the one before it under the same name, whatever the format is."""
    to = out / ("scans" if form == "xmp" else f"season.{form}")
    assert export(form, "--all", "--to", to)[0] == 0
    before = {path: path.read_bytes() for path in out.rglob("*") if path.is_file()}
    for path in before:
        path.write_bytes(b"older")
    assert export(form, "--all", "--to", to, "--force")[0] == 0
    assert {path: path.read_bytes() for path in out.rglob("*") if path.is_file()} == before


def test_a_copy_of_a_journal_is_never_replaced(season: Path, out: Path, export) -> None:
    """A journal under a name of its owner's own is known by its first line; an empty file is none."""
    copy = out / "barn door.jsonl"
    copy.write_bytes(next((season / "plates").rglob("*.jsonl")).read_bytes())
    before = copy.read_bytes()
    status, said = export("jsonl", "--all", "--to", copy, "--force")
    assert status == 2 and "belongs to the log" in said
    assert copy.read_bytes() == before
    copy.write_bytes(b"")
    assert export("jsonl", "--all", "--to", copy, "--force")[0] == 0


@pytest.mark.skipif(no_root, reason="needs root on Linux, to mount a small disk")
@pytest.mark.parametrize("form", ["csv", "jsonl", "html", "labels"])
def test_a_full_disk_during_an_export(home: Path, out: Path, export, form: str) -> None:
    """On a really full disk the export says so, exits 1, leaves an old file alone and no rest behind."""
    for number in range(8):
        shelve(home, worked(f"20260301-09000{number}-aaaaaa", number, subject="s" * 3000))
    small = out / "small"
    with small_disk(small, "size=16k"):
        (small / "old").write_bytes(b"old")
        for to, options in (("new", ()), ("old", ("--force",))):
            status, err = export(form, "--all", "--to", small / to, *options)
            assert (status, err) == (1, f"darkroom: {small}/{to}: not written: the disk is full\n")
        assert os.listdir(small) == ["old"]
        assert (small / "old").read_bytes() == b"old"
        (small / "after").write_bytes(b"x" * 8192)  # the space is free again


@pytest.mark.skipif(no_root, reason="needs root on Linux, to mount a small disk")
def test_a_full_disk_between_sidecars(home: Path, out: Path, export) -> None:
    """Sidecars that were written stay whole; how many is said, and the exit status is 1."""
    for number in range(8):
        shelve(home, worked(f"20260301-09000{number}-aaaaaa", number))
    small = out / "small"
    with small_disk(small, "size=16k"):
        status, err = export("xmp", "--all", "--to", small)
        written = os.listdir(small)
        assert status == 1
        assert f"{len(written)} of 8 files are written" in err
        assert 0 < len(written) < 8
        assert all((small / name).read_bytes().endswith(b'<?xpacket end="w"?>\n') for name in written)


@pytest.mark.skipif(no_root, reason="needs root on Linux, to mount a read-only disk")
def test_a_read_only_disk(home: Path, out: Path) -> None:
    """A disk that takes no files is told with its reason."""
    with small_disk(out / "small", "ro"), pytest.raises(NotWritten, match="not written: Read-only"):
        safe_write.write(out / "small" / "a", [b"x"], home)
