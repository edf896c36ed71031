"""An export that is a folder: whole or not at all, never over anything but such an export."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from darkroom.errors import NotReadable, NotWritten, WrongUse
from darkroom.log.export import part_files, safe_folder
from darkroom.log.store import durable
from tests.kit.export_fixtures import Export

OURS = r"(one|two)/part-\d+"


def fill(words: str) -> Callable[[Path], None]:
    """Return what writes two files of these words."""

    def write(folder: Path) -> None:
        for name in ("one", "two"):
            (folder / name).mkdir()
            (folder / name / "part-0").write_text(words)

    return write


def content(folder: Path) -> dict[str, str]:
    """Return the texts of a folder's files by their paths."""
    return {str(path.relative_to(folder)): path.read_text() for path in folder.rglob("*") if path.is_file()}


def told(words: str) -> dict[str, str]:
    """Return the content of a folder that `fill` has filled."""
    return {"one/part-0": words, "two/part-0": words}


def test_a_folder_is_written_whole(home: Path, out: Path) -> None:
    """All files are there under the name that was asked for, and nothing else beside it."""
    assert safe_folder.write(out / "a", fill("new"), home, OURS) == out / "a"
    assert content(out / "a") == told("new")
    assert os.listdir(out) == ["a"]


def test_an_empty_folder_takes_an_export(home: Path, out: Path) -> None:
    """A folder with nothing in it may be there already; it is not asked to be forced."""
    (out / "a").mkdir()
    safe_folder.write(out / "a", fill("new"), home, OURS)
    assert content(out / "a") == told("new")


def test_force_replaces_an_export_whole(home: Path, out: Path) -> None:
    """The old folder gives way with force alone, and its files with it; who may look into it is as before."""
    safe_folder.write(out / "a", fill("old"), home, OURS)
    (out / "a" / "one" / "part-1").write_text("old")
    (out / "a").chmod(0o750)
    with pytest.raises(WrongUse, match=r"is there already; --force replaces it"):
        safe_folder.write(out / "a", fill("new"), home, OURS)
    safe_folder.write(out / "a", fill("new"), home, OURS, force=True)
    assert content(out / "a") == told("new")
    modes = {path.stat().st_mode & 0o777 for path in (out / "a").rglob("*") if path.is_dir()}
    assert modes == {0o750} == {(out / "a").stat().st_mode & 0o777}
    assert (out / "a" / "one" / "part-0").stat().st_mode & 0o777 == 0o640
    assert os.listdir(out) == ["a"]


@pytest.mark.parametrize(
    "other", ["notes.txt", "one/part-0.txt", "one/part-x", "three/part-0", "one/link", "one/deep/"]
)
def test_a_folder_that_holds_anything_else_is_never_replaced(home: Path, out: Path, other: str) -> None:
    """Also with force: a file that no export has written, a link, an empty folder; the first is named."""
    safe_folder.write(out / "a", fill("old"), home, OURS)
    place = out / "a" / other
    place.parent.mkdir(exist_ok=True)
    if other.endswith("/"):
        place.mkdir()
    elif other.endswith("link"):
        place.symlink_to(out / "a" / "one" / "part-0")
    else:
        place.write_text("mine")
    before = content(out / "a")
    with pytest.raises(WrongUse, match="no part of an export") as caught:
        safe_folder.write(out / "a", fill("new"), home, OURS, force=True)
    assert f" holds {other.rstrip('/')}, " in str(caught.value)
    assert content(out / "a") == before
    assert os.listdir(out) == ["a"]


def test_places_that_are_no_folder_for_an_export(home: Path, out: Path) -> None:
    """A file, a link, a folder that is not there, the log itself and anything in it, with force too."""
    (out / "file").write_text("mine")
    (out / "folder").mkdir()
    (out / "link").symlink_to(out / "folder")
    (home / "plates").mkdir()
    for path, message in (
        (out / "file", "is no folder"),
        (out / "link", "is no folder"),
        (home, "in the folder of the log"),
        (home / "tables", "in the folder of the log"),
        (home / "plates", "in the folder of the log"),
    ):
        with pytest.raises(WrongUse, match=message):
            safe_folder.write(path, fill("new"), home, OURS, force=True)
    with pytest.raises(NotReadable, match="there is no folder"):
        safe_folder.write(out / "none" / "a", fill("new"), home, OURS)
    assert (out / "file").read_text() == "mine" and os.listdir(out / "folder") == []
    assert list(home.iterdir()) == [home / "plates"]


def test_the_folder_above_the_log_is_never_replaced(home: Path) -> None:
    """The log is in it: that is no part of an export."""
    (home / "settings.yaml").write_text("")
    with pytest.raises(WrongUse, match="no part of an export"):
        safe_folder.write(home.parent, fill("new"), home, OURS, force=True)
    assert (home / "settings.yaml").exists()


def test_what_comes_meanwhile_is_not_replaced(home: Path, out: Path) -> None:
    """Another program takes the name while the export is made: what it wrote stays."""

    def late(folder: Path) -> None:
        fill("ours")(folder)
        (out / "a").mkdir()
        (out / "a" / "theirs").write_text("theirs")

    with pytest.raises(WrongUse):
        safe_folder.write(out / "a", late, home, OURS)
    assert content(out / "a") == {"theirs": "theirs"}
    assert os.listdir(out) == ["a"]


def test_an_export_that_breaks_leaves_the_old_one(home: Path, out: Path) -> None:
    """A full disk half way: the old folder is whole, of the new one nothing is left, and it is told."""
    safe_folder.write(out / "a", fill("old"), home, OURS)

    def broken(folder: Path) -> None:
        fill("new")(folder)
        raise OSError(errno.ENOSPC, "No space left on device")

    with pytest.raises(NotWritten, match="not written"):
        safe_folder.write(out / "a", broken, home, OURS, force=True)
    assert content(out / "a") == told("old")
    assert os.listdir(out) == ["a"]


def test_all_is_durable_before_it_has_its_name(
    home: Path, out: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two files and three folders are synced while the name is free, the folder above after it is taken."""
    steps: list[tuple[str, bool]] = []
    file, folder = durable.sync, durable.sync_folder
    monkeypatch.setattr(durable, "sync", lambda fd: (steps.append(("file", (out / "a").exists())), file(fd)))
    monkeypatch.setattr(
        durable, "sync_folder", lambda at: (steps.append(("folder", (out / "a").exists())), folder(at))
    )
    safe_folder.write(out / "a", fill("new"), home, OURS)
    assert sorted(steps[:-1]) == [*[("file", False)] * 2, *[("folder", False)] * 3]
    assert steps[-1] == ("folder", True)


def test_a_disk_that_cannot_let_names_change_places(
    home: Path, out: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The old folder stands beside for a moment; it comes back when the new one does not get its name."""
    monkeypatch.setattr(safe_folder, "exchange", lambda one, other: False)
    safe_folder.write(out / "a", fill("old"), home, OURS)
    rename = os.rename

    def fails_once(one: Path, other: Path) -> None:
        if ".export-" in str(one) and not (out / "a").exists():
            raise OSError(errno.EIO, "Input/output error")
        rename(one, other)

    with monkeypatch.context() as patch:
        patch.setattr(os, "rename", fails_once)
        with pytest.raises(NotWritten):
            safe_folder.write(out / "a", fill("new"), home, OURS, force=True)
    assert content(out / "a") == told("old")
    assert os.listdir(out) == ["a"]
    safe_folder.write(out / "a", fill("new"), home, OURS, force=True)
    assert content(out / "a") == told("new")
    assert os.listdir(out) == ["a"]


STEPS = ("filling", "settled", "named", "removing")
KILLED = """
import os, signal, sys
from pathlib import Path
from darkroom.log.export import part_files, safe_folder
out, home, step = Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3]
def stop(*_):
    os.kill(os.getpid(), signal.SIGKILL)
def fill(folder):
    for name in ("one", "two"):
        (folder / name).mkdir()
        (folder / name / "part-0").write_text("new")
        if step == "filling":
            stop()
name = safe_folder._name
if step == "settled":
    safe_folder._name = stop
if step == "named":
    safe_folder._name = lambda *words: (name(*words), stop())
if step == "removing":
    part_files.shutil.rmtree = lambda path, **_: (os.unlink(path / "one" / "part-0"), stop())
safe_folder.write(out / "a", fill, home, r"(one|two)/part-\\d+", force=True)
"""


@pytest.mark.parametrize("step", STEPS)
@pytest.mark.parametrize("old", [True, False])
def test_a_kill_leaves_the_old_export_or_the_new(home: Path, out: Path, step: str, old: bool) -> None:
    """kill -9 while it is written, before and after it has its name; the next export clears what is left."""
    if old:
        safe_folder.write(out / "a", fill("old"), home, OURS)
    if step == "removing" and not old:
        return  # nothing was replaced, so nothing is removed
    done = subprocess.run([sys.executable, "-c", KILLED, str(out), str(home), step], check=False)
    assert done.returncode == -signal.SIGKILL
    found = content(out / "a") if (out / "a").exists() else {}
    assert found == (told("new") if step in ("named", "removing") else told("old") if old else {})
    assert any(path.name.startswith(".export-") for path in out.iterdir())
    part_files.clear_left(out)
    assert os.listdir(out) == (["a"] if found else [])


def test_the_folder_of_a_running_export_is_not_cleared(home: Path, out: Path) -> None:
    """Another export into the same place begins meanwhile: both are written."""

    def with_another(folder: Path) -> None:
        fill("first")(folder)
        part_files.clear_left(out)
        safe_folder.write(out / "b", fill("second"), home, OURS)

    safe_folder.write(out / "a", with_another, home, OURS)
    assert (content(out / "a"), content(out / "b")) == (told("first"), told("second"))


def test_only_an_own_folder_of_that_very_name_is_cleared(out: Path) -> None:
    """A link and a file of the name of a hidden folder, and names like it, stay."""
    (out / ".export-00000000000a.parts").mkdir()
    (out / ".export-00000000000a.parts" / "file").write_text("left")
    (out / "mine").mkdir()
    (out / ".export-00000000000b.parts").symlink_to("mine")
    (out / ".export-00000000000c.parts").write_text("a file")
    (out / ".export-0000.parts").mkdir()
    part_files.clear_left(out)
    assert sorted(os.listdir(out)) == [
        ".export-0000.parts", ".export-00000000000b.parts", ".export-00000000000c.parts", "mine",
    ]  # fmt: skip


def test_the_command_says_what_stands_in_the_way(season: Path, out: Path, export: Export) -> None:
    """A taken name and a stranger's folder are wrong use, with one line each; nothing is changed."""
    assert export("parquet", "--all", "--to", out / "a")[0] == 0
    assert export("parquet", "--all", "--to", out / "a") == (
        2,
        f"darkroom: {out}/a is there already; --force replaces it\n",
    )
    (out / "a" / "letter").write_text("mine")
    assert export("parquet", "--all", "--force", "--to", out / "a") == (
        2,
        f"darkroom: {out}/a holds letter, which is no part of an export; choose another folder\n",
    )
    assert export("parquet", "--all", "--rows", "stages", "--to", out / "b") == (
        2,
        "darkroom: --rows goes with csv and jsonl, not with parquet\n",
    )
    assert (out / "a" / "letter").read_text() == "mine"
    assert os.listdir(out) == ["a"]


def test_a_disk_that_takes_no_more_leaves_the_old_tables(plates: list[Path], home: Path, out: Path) -> None:
    """No file may be longer than 20 kB: it says so in one line, nothing is left of it, the old one stays."""
    program = (
        "import resource, sys\nfrom darkroom.cli import main\n"
        "if len(sys.argv) > 3: resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))\n"
        "sys.exit(main(['log', 'export', 'parquet', '--all', '--force', '--to', sys.argv[2]]))"
    )
    words = [sys.executable, "-c", program, str(home), str(out / "tables")]
    assert subprocess.run(words, capture_output=True, check=False).returncode == 0
    before = {path: path.read_bytes() for path in (out / "tables").rglob("*.parquet")}
    done = subprocess.run([*words, "full"], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (1, f"darkroom: {out}/tables: not written: File too large\n")
    assert {path: path.read_bytes() for path in (out / "tables").rglob("*.parquet")} == before
    assert len(before) == 2 and os.listdir(out) == ["tables"]
