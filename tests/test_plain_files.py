"""Reading the start of a plain file: nothing else is opened or waited for, and no more is read."""

from __future__ import annotations

import os
import threading
from pathlib import Path

import pytest

from darkroom import plain_files
from tests.kit import odd_files

BOUNDED = {
    name
    for name in odd_files.KINDS
    if not name.startswith(("fifo", "socket", "folder", "loop", "nowhere", "device", "kernel"))
}


@pytest.mark.parametrize("kind", sorted(BOUNDED))
def test_no_more_is_read_than_was_asked_for(
    tmp_path: Path, kind: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of a plain file of any length the first bytes come back, and the system is asked for no more."""
    asked: list[int] = []
    read = os.read
    here = threading.get_ident()  # the test runner reads too, in threads of its own

    def counted(fd: int, count: int) -> bytes:
        if threading.get_ident() == here:
            asked.append(count)
        return read(fd, count)

    monkeypatch.setattr(os, "read", counted)
    path = tmp_path / "file"
    odd_files.put(kind, path)
    with path.open("rb") as file:
        expected = file.read(3000)
    assert plain_files.read_start(path, 3000) == expected
    assert sum(asked) <= 3000 * len(asked) and max(asked) <= 3000


@pytest.mark.parametrize("kind", sorted(odd_files.KINDS.keys() - BOUNDED))
def test_what_is_no_plain_file_is_an_error_at_once(tmp_path: Path, kind: str) -> None:
    """A pipe, a device, a folder, a link to nothing or itself, a file of the kernel: none is waited for."""
    path = tmp_path / "file"
    odd_files.put(kind, path)
    if kind in ("kernel log", "kernel memory", "kernel core"):  # the kernel may give a few bytes
        try:
            assert len(plain_files.read_start(path, 3000)) <= 3000
        except OSError as error:
            assert plain_files.reason(error)
        return
    with pytest.raises(OSError, match=r"\w"):
        plain_files.read_start(path, 3000)
    if kind in ("fifo", "socket", "device zero", "device null", "folder"):
        with pytest.raises(plain_files.NotPlain):
            plain_files.open_plain(path)


def test_a_device_is_not_even_opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What a device does when it is opened does not happen."""
    opened: list[object] = []
    monkeypatch.setattr(os, "open", lambda *words: opened.append(words))
    for kind in ("fifo", "device zero"):
        odd_files.put(kind, tmp_path / "file")
        with pytest.raises(plain_files.NotPlain):
            plain_files.open_plain(tmp_path / "file")
    assert opened == []


def test_a_plain_file_that_became_a_pipe_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Between the look and the opening the name may change: what was opened is looked at again."""
    path = tmp_path / "file"
    os.mkfifo(path)
    monkeypatch.setattr(plain_files, "check_plain", lambda path: None)
    with pytest.raises(plain_files.NotPlain):
        plain_files.open_plain(path)


def test_a_link_is_no_plain_file_where_none_is_followed(tmp_path: Path) -> None:
    """A name under which the tool itself writes must not lead elsewhere."""
    (tmp_path / "file").write_bytes(b"x")
    (tmp_path / "link").symlink_to("file")
    plain_files.check_plain(tmp_path / "link")
    with pytest.raises(plain_files.NotPlain):
        plain_files.check_plain(tmp_path / "link", follow_links=False)
