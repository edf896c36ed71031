"""The checked forms of the shipped process files are what reading them gives, and count for nothing else."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from darkroom import resources
from darkroom.checked_processes import checked_process, place_of
from darkroom.errors import ProcessError
from darkroom.process.file.profile import parse
from tests.kit import make_checked_processes


@pytest.mark.parametrize("path", resources.shipped_processes(), ids=lambda path: path.stem)
def test_each_is_what_its_file_says(path: Path) -> None:
    """The process is the one that is read from the text (`python -m tests.kit.make_checked_processes`)."""
    assert checked_process(path, path.read_bytes()) == parse(path.read_bytes(), str(path))
    assert resources.read_process(path) == parse(path.read_bytes(), str(path))
    assert place_of(path).read_bytes() == make_checked_processes.content(path)


def test_there_is_none_without_a_process_file() -> None:
    """No form of a file that is gone lies about."""
    stems = {path.stem for path in resources.shipped_processes()}
    assert {path.stem for path in (resources.profiles_dir() / "checked").iterdir()} == stems


@pytest.fixture
def profiles(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a copy of the folder of shipped files, which counts for it."""
    folder = tmp_path / "profiles"
    shutil.copytree(resources.profiles_dir(), folder)
    monkeypatch.setattr(resources, "profiles_dir", lambda: folder)
    return folder


def test_a_changed_file_is_read_and_checked(profiles: Path) -> None:
    """One other byte, and the file itself counts, with its mistakes."""
    path = profiles / "clear-glass.yaml"
    path.write_bytes(
        path.read_bytes().replace(b"name: Clear-glass ambrotype", b"name: Clear-glass ambrotypf", 1)
    )
    assert resources.read_process(path).name == "Clear-glass ambrotypf"
    path.write_bytes(path.read_bytes() + b"\nnonsense: 3\n")
    with pytest.raises(ProcessError, match="nonsense"):
        resources.read_process(path)


@pytest.mark.parametrize("content", [None, b"", b"{", b'{"text":"","process":{}}', b"\xff"])
def test_a_missing_or_broken_form_counts_for_nothing(profiles: Path, content: bytes | None) -> None:
    """The process is read from its file."""
    path = profiles / "clear-glass.yaml"
    if content is None:
        place_of(path).unlink()
    else:
        place_of(path).write_bytes(content)
    assert checked_process(path, path.read_bytes()) is None
    assert resources.read_process(path) == parse(path.read_bytes(), str(path))


def test_a_shipped_process_is_read_without_yaml() -> None:
    """A fresh interpreter loads no parser for it."""
    code = "import sys\nfrom darkroom.resources import load_process\nload_process('clear-glass')\n"
    code += "print('yaml' in sys.modules, 'darkroom.process.file.stages' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", "False"]
