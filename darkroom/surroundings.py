"""What the front door sets right before anything else: the file mask, the time zone, what is printed.

A command starts in surroundings that nobody chose for it: a mask that lets others read, a time zone that no
clock has, a locale without letters. What is set here holds for the whole process and those it starts.
"""

from __future__ import annotations

import io
import os
import sys
import time
from contextlib import suppress
from datetime import datetime
from typing import Any, BinaryIO, TextIO

from darkroom.log.store import file_mask

_DAY = 86400
_DEBUGGING = (
    "PYTHONASYNCIODEBUG", "PYTHONDEVMODE", "PYTHONMALLOCSTATS", "PYTHONPROFILEIMPORTTIME",
    "PYTHONTRACEMALLOC", "PYTHONVERBOSE", "PYTHONWARNINGS",
)  # fmt: skip
"""Switches of Python that would make the processes that are started slow, as the one that plays, or talk."""
_ASCII = frozenset({"ascii", "us-ascii", "ansi_x3.4-1968", "646"})


remarks: list[str] = []
"""In words, what could not be set as the user has it."""


def set_right() -> None:
    """Set mask, time zone and printing right; what is to be told is in `remarks`."""
    with_streams()
    with_letters()
    for name in _DEBUGGING:
        os.environ.pop(name, None)
    file_mask.take()
    sys.stdout, sys.stderr = _harmless(sys.stdout), _harmless(sys.stderr, is_lossy=True)
    set_time_zone()


def with_streams() -> None:
    """Have something behind the three numbers of standard streams that were closed.

    The next file that is opened, such as a journal, would get the number, and what is printed with it. What
    is opened here takes nothing: who prints to it is told.
    """
    for number, (name, mode) in enumerate((("stdin", "r"), ("stdout", "w"), ("stderr", "w"))):
        try:
            os.fstat(number)
        except OSError:
            nothing = os.open(os.devnull, os.O_RDONLY)  # the lowest free number: this one
            os.set_inheritable(nothing, True)
            if getattr(sys, name) is None:
                stream = open(number, mode, closefd=False)  # noqa: SIM115
                setattr(sys, name, stream)
                setattr(sys, f"__{name}__", stream)


def with_letters() -> None:
    """Begin the program anew in UTF-8 where the locale has ASCII alone, which is no file system's."""
    if sys.getfilesystemencoding().lower() not in _ASCII or not sys.executable or not sys.orig_argv:
        return
    os.environ["PYTHONUTF8"] = "1"  # for the processes that are started
    with suppress(OSError):
        os.execv(sys.executable, [sys.executable, "-X", "utf8", *sys.orig_argv[1:]])


def set_time_zone() -> None:
    """Use UTC where the local time is a day or more away, which no date can say."""
    if not hasattr(time, "tzset"):
        return
    try:
        datetime.now().astimezone()
        if max(abs(time.timezone), abs(time.altzone)) < _DAY:
            return
    except (ValueError, OverflowError, OSError):
        pass
    zone = os.environ.get("TZ", "")
    os.environ["TZ"] = "UTC0"
    time.tzset()
    remarks.append(f"there is no time zone '{zone[:40]}': times are in UTC")


class OutputBuffer(io.BufferedWriter):
    """The bytes of a stream of the process; `failed` once its device did not take them, as a full one."""

    failed = False

    def write(self, data: Any, /) -> int:
        """Write bytes."""
        try:
            return super().write(data)
        except OSError:
            self.failed = True
            raise

    def flush(self) -> None:
        """Hand on what waits."""
        try:
            super().flush()
        except OSError:
            self.failed = True
            raise


class LossyDevice(io.FileIO):
    """The device of standard error. That it fails is told nobody and changes no exit status."""

    def write(self, data: Any, /) -> int:
        """Write bytes; what the device does not take, as a full or a vanished one, is dropped."""
        with suppress(OSError):
            return super().write(data) or memoryview(data).nbytes
        return memoryview(data).nbytes


class HarmlessText(io.TextIOWrapper):
    """A text stream of the process that no file name and no argument can make a terminal obey.

    Control characters, signs that turn the writing and halves of surrogate pairs (as an undecodable argument
    has) are written as `?`, and so is what the encoding lacks.
    """

    def write(self, text: str) -> int:
        """Write text, harmless; return its length. A carriage return counts at the start, for progress."""
        if not text.replace("\n", "").replace("\t", "").isprintable():  # all at once: a list is one long text
            start = "\r" if text.startswith("\r") else ""
            rest = "".join(
                sign if sign.isprintable() or sign in "\n\t" else "?" for sign in text[len(start) :]
            )
            super().write(start + rest)
        else:
            super().write(text)
        return len(text)


def _harmless(stream: TextIO | None, *, is_lossy: bool = False) -> TextIO | None:
    """Return a harmless stream over the same bytes; one that has none below is left as it is.

    A lossy one drops what its device does not take, and raises nothing. No terminal has letters of
    ASCII alone: a locale that says so gets UTF-8.
    """
    if stream is None or not hasattr(stream, "buffer"):
        return stream
    stream.flush()
    encoding = "utf-8" if stream.encoding.lower() in _ASCII else stream.encoding
    unbuffered = isinstance(stream.buffer, io.RawIOBase)
    by_line = stream.isatty() or stream is sys.__stderr__ or unbuffered
    raw = stream.buffer if isinstance(stream.buffer, io.RawIOBase) else getattr(stream.buffer, "raw", None)
    buffer: BinaryIO = stream.buffer
    if isinstance(raw, io.FileIO) and is_lossy:
        buffer = io.BufferedWriter(LossyDevice(raw.fileno(), "w", closefd=False))
    elif raw is not None:
        buffer = OutputBuffer(raw)
    return HarmlessText(buffer, encoding=encoding, errors="replace", line_buffering=by_line)
