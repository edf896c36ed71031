"""Where things lie on this machine, and who holds the bench.

Nothing is made when this is imported, or by asking where something lies.
"""

from __future__ import annotations

import os
import re
import stat
import sys
import time
import zlib
from contextlib import suppress
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from darkroom import plain_files
from darkroom.errors import NotReadable, WrongUse
from darkroom.late_patterns import late_pattern
from darkroom.log.store import durable

if TYPE_CHECKING:
    import random


PLATES, REHEARSALS = "plates", "rehearsals"
MEMORY = Path("/dev/shm")
"""The file system in memory that every Linux has (tmpfs; shm_overview(7))."""
Variable = Literal["XDG_DATA_HOME", "XDG_STATE_HOME"]
_XDG_DEFAULTS: dict[Variable, str] = {"XDG_DATA_HOME": ".local/share", "XDG_STATE_HOME": ".local/state"}
_LETTERS = "abcdefghijklmnopqrstuvwxyz0123456789"
_PLATE_ID = late_pattern(r"\d{8}-\d{6}-[A-Za-z0-9]{6}")


def home() -> Path:
    """Return the folder of the log: $DARKROOM_HOME, or the platform's user data folder.

    It need not be there yet. Raises NotReadable where no folder can be, or the user has none.
    """
    configured = os.environ.get("DARKROOM_HOME")
    if not configured:
        path = _of_user("XDG_DATA_HOME")
    else:
        try:
            path = Path(configured).expanduser().absolute()
        except RuntimeError:
            raise NotReadable(f"DARKROOM_HOME is {configured}: there is no such user") from None
        except FileNotFoundError:
            raise NotReadable(f"DARKROOM_HOME is {configured}, counted from a folder that is gone") from None
    return _folder(path)


def _folder(path: Path) -> Path:
    """Return the path of a folder, or of what may become one. Raises NotReadable."""
    try:
        if not stat.S_ISDIR(path.stat().st_mode):
            raise NotReadable(f"{printable(path)} is a file: a log needs a folder")
    except (FileNotFoundError, PermissionError):
        return path
    except (OSError, ValueError) as error:
        reason = plain_files.reason(error) if isinstance(error, OSError) else str(error)
        raise NotReadable(f"no log can be in {printable(path)[:200]}: {reason}") from None
    return path


def state_dir() -> Path:
    """Return the machine's state folder of this user. Raises NotReadable where there is none."""
    return _of_user("XDG_STATE_HOME")


def _of_user(variable: Variable) -> Path:
    """Return a folder of the user; a path in `variable` that is not absolute counts as none, as XDG says."""
    if not os.path.isabs(os.environ.get(variable) or "/"):
        del os.environ[variable]
    found = _linux_folder(variable) if sys.platform == "linux" else None
    found = _platform_folder(variable) if found is None else found
    if not found.is_absolute():
        raise NotReadable("this user has no folder: set HOME, or DARKROOM_HOME to a folder for the log")
    return found


def _platform_folder(variable: Variable) -> Path:
    """Return the folder that the platform has for what `variable` names."""
    import platformdirs

    if variable == "XDG_DATA_HOME":
        return platformdirs.user_data_path("darkroom", appauthor=False)
    return platformdirs.user_state_path("darkroom", appauthor=False)


def _linux_folder(variable: Variable) -> Path | None:
    """Return the same on Linux without platformdirs, which takes as long to import as a journal to read.

    None on Android, which has other folders, and where the user has no folder of a whole path. Source: XDG
    Base Directory Specification 0.8.
    """
    if "ANDROID_ROOT" in os.environ or "ANDROID_DATA" in os.environ:
        return None
    if not os.path.isabs(os.environ.get("HOME", "")):  # who the user is then is platformdirs' to find out
        return None
    folder = os.environ.get(variable) or os.path.expanduser(f"~/{_XDG_DEFAULTS[variable]}")
    return Path(folder, "darkroom") if os.path.isabs(folder) else None


def spill_places() -> tuple[Path, ...]:
    """Return the folders a journal goes on in when its own cannot be written, in order."""
    places = [_temporary_folder() / f"darkroom-{durable.user_id()}"]
    with suppress(NotReadable):
        places.insert(0, state_dir() / "spill")
    return tuple(places)


def _temporary_folder() -> Path:
    """Return the folder for what is kept for a while; a full disk does not change which one it is."""
    if sys.platform == "win32":
        import tempfile

        return Path(tempfile.gettempdir())
    named = (os.environ.get(variable, "") for variable in ("TMPDIR", "TEMP", "TMP"))
    return Path(next((name for name in named if os.path.isabs(name) and os.path.isdir(name)), "/tmp"))


def last_places() -> tuple[Path, ...]:
    """Return the folders that take lines at the end of the program: the spill places, then memory.

    On a machine with one disk, when that is full, memory (a tmpfs) is the only place there is. It is lost
    with the power, so the journal never goes on there while the program runs.
    """
    memory = MEMORY / f"darkroom-{durable.user_id()}"
    return (*spill_places(), memory) if MEMORY.is_dir() else spill_places()


def is_memory(path: Path) -> bool:
    """Return whether a file stands in memory, lost with the power."""
    return MEMORY in path.parents


def bench_id() -> str:
    """Return this bench's random id, made once and kept twice in the machine's state folder.

    Where that folder cannot be written the id is made from the machine and the user, so that the
    plates of this bench still come back to it.
    """
    try:
        places = [state_dir() / name for name in ("bench-id", "bench-id.copy")]
    except NotReadable:
        return _id_of_user()
    kept, copy = _id_in(places[0]), _id_in(places[1])
    if copy is not None and kept == copy:
        return copy
    new_id = copy or kept or os.urandom(8).hex()  # the copy has a checksum: it counts for more
    for place, text in zip(places, (new_id, _summed(new_id)), strict=True):
        with suppress(OSError):
            durable.make_folders(place.parent)
            durable.write_whole(place, text.encode() + b"\n")
    return _id_in(places[1]) or _id_in(places[0]) or _id_of_user()


def _summed(bench: str) -> str:
    """Return an id with its checksum, as the copy holds it."""
    return f"{bench} {zlib.crc32(bench.encode()):08x}"


def _id_in(path: Path) -> str | None:
    """Return the id in a file, or None where there is none."""
    with suppress(OSError):
        text = plain_files.read_start(path, 64).decode("ascii", "replace").strip()
        bench = text[:16]
        if re.fullmatch(r"[0-9a-f]{16}", bench) and text in (bench, _summed(bench)):
            is_copy = path.suffix == ".copy"
            return bench if is_copy == (text != bench) else None
    return None


def _id_of_user() -> str:
    import hashlib
    import uuid

    machine = f"{uuid.getnode():x} {durable.user_id()}"
    return hashlib.sha256(machine.encode()).hexdigest()[:16]


def boot_id() -> str:
    """Return what tells one start of the machine from another."""
    if sys.platform == "linux":
        with suppress(OSError):
            return Path("/proc/sys/kernel/random/boot_id").read_text("ascii").strip()
    if sys.platform == "darwin":
        import subprocess

        with suppress(OSError, subprocess.SubprocessError):
            command = ["/usr/sbin/sysctl", "-n", "kern.bootsessionuuid"]
            uuid = subprocess.run(
                command, capture_output=True, text=True, timeout=2, check=True
            ).stdout.strip()
            if uuid:
                return uuid
    # The minute the machine started in: where the wall clock is set anew this is another boot, and
    # times are then shown as estimated.
    return f"minute-{round((time.time() - time.monotonic()) / 60)}"


def new_plate_id(utc: datetime, rng: random.Random) -> str:
    """Return a new plate's id: the UTC time of its first strike and six random letters or digits."""
    return f"{utc:%Y%m%d-%H%M%S}-" + "".join(rng.choice(_LETTERS) for _ in range(6))


def is_plate_id(text: str) -> bool:
    """Return whether `text` has the form of a plate's id."""
    return _PLATE_ID.fullmatch(text) is not None


def plate_path(log_home: Path, plate_id: str, local_date: str, rehearsal: bool = False) -> Path:
    """Return the path of a plate's first file; `local_date` is YYYY-MM-DD of its first strike.

    Raises WrongUse for an id that is no file name, or a date that is none.
    """
    if not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9_-]*", plate_id):
        raise WrongUse(f"'{plate_id}' cannot be the id of a plate")
    try:
        day = date.fromisoformat(local_date).isoformat()
    except ValueError:
        raise WrongUse(f"'{local_date}' is no date") from None
    return log_home / (REHEARSALS if rehearsal else PLATES) / day[:4] / day / f"{plate_id}.jsonl"


def printable(path: Path) -> str:
    """Return a path as text that can be printed, whatever bytes its name has."""
    return os.fsencode(path).decode("utf-8", "backslashreplace")
