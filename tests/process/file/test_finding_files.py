"""Where process files are found, and how what cannot be read is told."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from darkroom import resources
from darkroom.errors import NotReadable, ProcessError

SHIPPED = resources.profiles_dir()


def test_shipped_files_lie_beside_the_package_or_within_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In a wheel the shipped folders lie inside the package and win; in a work tree, beside it."""
    assert (resources.profiles_dir() / "tintype.yaml").is_file()
    assert resources.sounds_dir().name == "sounds"
    package = tmp_path / "site" / "darkroom"
    (package / "shipped" / "profiles").mkdir(parents=True)
    monkeypatch.setattr(resources, "__file__", str(package / "resources.py"))
    assert resources.profiles_dir() == (package / "shipped" / "profiles").resolve()
    assert resources.sounds_dir() == (tmp_path / "site" / "sounds").resolve()


@pytest.mark.parametrize("word", ["tintype", "Tintype", "TINTYPE", str(SHIPPED / "tintype.yaml")])
def test_a_process_is_found_by_path_file_name_or_title(word: str) -> None:
    """A path, the file's name and the title in it, in any case, all find the process."""
    assert resources.find_process(word) == SHIPPED / "tintype.yaml"
    assert resources.load_process(word).name == "Tintype"


def test_a_title_with_spaces_finds_its_file() -> None:
    """The title as it stands in the file finds it."""
    assert resources.find_process("clear-glass ambrotype").stem == "clear-glass"


def test_a_shipped_name_wins_over_a_file_of_that_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A plain word means the shipped process; a path of one's own is written as a path."""
    monkeypatch.chdir(tmp_path)
    Path("tintype").write_text("name: mine\n")
    assert resources.find_process("tintype") == SHIPPED / "tintype.yaml"
    assert resources.find_process("./tintype") == Path("./tintype")
    Path("mine").write_text("name: mine\n")
    assert resources.find_process("mine") == Path("mine")


def test_an_unknown_word_brings_the_nearest_name() -> None:
    """A word that finds nothing is answered with the nearest process, or with all there are."""
    with pytest.raises(NotReadable, match="did you mean 'tintype'"):
        resources.find_process("tintipe")
    with pytest.raises(NotReadable, match="there are black-glass"):
        resources.find_process("xyzzy")
    with pytest.raises(NotReadable):
        resources.find_process("")


def test_what_is_no_readable_file_is_told_apart(tmp_path: Path) -> None:
    """A missing path, a folder, a loop of links, a pipe and an impossible name are wrong paths."""
    loop = tmp_path / "loop.yaml"
    loop.symlink_to(loop)
    pipe = tmp_path / "pipe.yaml"
    os.mkfifo(pipe)
    folder = tmp_path / "folder.yaml"
    folder.mkdir()
    for path, phrase in (
        (tmp_path / "missing.yaml", "No such file"),
        (loop, "cannot be read"),
        (pipe, "not a plain file"),
        (folder, "is a folder"),
        (Path("a\0b.yaml"), "cannot be read"),
        (Path("/dev/zero"), "not a plain file"),
        (tmp_path / ("x" * 300 + ".yaml"), "cannot be read"),
    ):
        with pytest.raises(NotReadable, match=phrase):
            resources.read_process(path)


@pytest.mark.skipif(os.geteuid() == 0, reason="root reads every file")
def test_a_file_one_may_not_read_is_told(tmp_path: Path) -> None:
    """A file without permission to read is a wrong path."""
    shut = tmp_path / "shut.yaml"
    shut.write_text("name: shut\n")
    shut.chmod(0)
    with pytest.raises(NotReadable, match="cannot be read"):
        resources.read_process(shut)


def test_a_huge_file_is_not_read_whole(tmp_path: Path) -> None:
    """Of a file far too large only the first 256 kB are read, and it is refused for its size."""
    huge = tmp_path / "huge.yaml"
    with huge.open("wb") as file:
        file.truncate(1 << 40)
    with pytest.raises(ProcessError, match="too large"):
        resources.read_process(huge)
