"""Files that no tool expects under the name of one of its own: pipes, devices, loops, the wrong bytes."""

from __future__ import annotations

import os
import shutil
import socket
import tempfile
from collections.abc import Callable
from pathlib import Path

SPARSE = 5 << 30
"""The length of the huge file, in bytes; it takes no room on the disk."""
ESCAPES = "\x1b]0;taken over\x07\x1b[2J\u202egnp\u200f"
"""What a terminal obeys, and signs that turn the writing: for names and for texts."""


def _bytes(data: bytes) -> Callable[[Path], None]:
    return lambda path: path.write_bytes(data) and None  # type: ignore[func-returns-value]


def _link(to: str) -> Callable[[Path], None]:
    return lambda path: path.symlink_to(to)


def _huge(path: Path) -> None:
    with path.open("wb") as file:
        file.truncate(SPARSE)


def _loop(path: Path) -> None:
    other = path.with_name(path.name + ".loop")
    other.unlink(missing_ok=True)
    other.symlink_to(path)
    path.symlink_to(other)


def _socket(path: Path) -> None:
    with tempfile.TemporaryDirectory() as folder, socket.socket(socket.AF_UNIX) as listener:
        listener.bind(f"{folder}/s")  # a socket's own path may have a hundred bytes only
        shutil.move(f"{folder}/s", path)


def _folder(path: Path) -> None:
    path.mkdir()
    (path / "inside").write_text("x")


KINDS: dict[str, Callable[[Path], None]] = {
    "empty": _bytes(b""),
    "zeros": _bytes(bytes(4096)),
    "noise": _bytes(bytes(range(256)) * 16),
    "latin 1": _bytes(b"name: caf\xe9\nplates: \xff\n"),
    "utf-16": _bytes("name: café\n".encode("utf-16")),
    "escapes": _bytes(f"{ESCAPES}: {ESCAPES}\n".encode()),
    "one line": _bytes(b"[" * 2_000_000),
    "json null": _bytes(b"null\n"),
    "json list": _bytes(b"[[1, 2.5e999, NaN], {}]\n"),
    "json text": _bytes(b'"\\ud800"\n'),
    "json wrong": _bytes(
        b'{"number": true, "plates": {"a": [1]}, "large": [], "form": 7, "brightness": "x"}\n'
    ),
    "yaml wrong": _bytes(b"sound: [1]\ngo: {a: b}\nstages: 7\nthermometers: 8\nname: [x]\n"),
    "huge": _huge,
    "fifo": os.mkfifo,
    "socket": _socket,
    "folder": _folder,
    "loop": _loop,
    "nowhere": _link("/nowhere/at/all"),
    "device zero": _link("/dev/zero"),
    "device null": _link("/dev/null"),
    "device tty": _link("/dev/tty"),
    "kernel log": _link("/proc/kmsg"),
    "kernel memory": _link("/proc/self/mem"),
    "kernel core": _link("/proc/kcore"),
}
"""{name: what makes it at a path that is free}."""


def put(kind: str, path: Path) -> None:
    """Put a file of that kind at a path, in place of what is there; the folders above are made."""
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    remove(path)
    KINDS[kind](path)


def remove(path: Path) -> None:
    """Take away what is at a path, whatever it is."""
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path)
    elif os.path.lexists(path):
        path.unlink()
