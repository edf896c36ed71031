"""The tool's side of the sound: starts the player, hands it cues, hears its reports. Never waits.

A line for the player is written at once into a pipe that refuses rather than blocks. What it
refuses waits: only the newest set, and single cues until they are late.
"""

from __future__ import annotations

import contextlib
import json
import os
import sys
import threading
import time
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from darkroom.devices.clock import Clock
from darkroom.devices.sound.cue_names import LATEST
from darkroom.devices.sound.messages import CueLike, plain
from darkroom.devices.sound.pipe_writer import Pipe
from darkroom.devices.sound.sound_settings import SoundSettings

if TYPE_CHECKING:
    import subprocess

Report = Callable[[str, dict[str, Any]], None]
AnyCue = CueLike | Mapping[str, Any]

UNHEARD = 4.0
"""A player that has given no sign of life for so long is ended and started anew, in seconds."""
WATCHED = 1.0
"""Whether it gives one is looked at this often, in seconds."""
AGAIN = (0.0, 0.5, 2.0, 5.0)
"""How long to wait before starting it the second, third, … time within a minute, in seconds."""
CRASHES = ("SIGSEGV", "SIGABRT", "SIGBUS", "SIGILL", "SIGFPE")


class Sound:
    """The sound player, seen from the tool.

    Every call returns at once and may be made from any thread; before `start` none does anything.
    `report(kind, what)` is called on a thread of ours (for a cue that could not be sent, on the
    caller's); `what["text"]` is one quiet line for the screen. Kinds: `driver` (the driver in use
    changed: `driver`, `was`, `why`), `lost` (a driver died), `back` (after `lost` or `died`, a driver
    that sounds), `dropped` (`cue`, `why`: late, overlap, no room for the words, not sent, another
    is said, words go before it), `late` (`cue`, `seconds`), `said` (`cue`: a caution, to its end),
    `died`, `restarted`, `underrun` (`buffer`), `problem`, and `bell` (`cue`):
    ring the terminal's bell now. `bell`, when set, is called for that as well.
    """

    def __init__(
        self,
        report: Report,
        *,
        settings: SoundSettings | None = None,
        clock: Callable[[], float] | None = None,
    ) -> None:
        """`clock` gives seconds on the clock that goes on through sleep, which the deadlines are in."""
        self.settings = settings or SoundSettings()
        self.clock = clock or Clock().up
        self.bell: Callable[[], None] | None = None
        self.driver: str | None = None
        self.starts = 0
        self._report = report
        self._pipe = Pipe(late=self._unsent)
        self._lock = threading.Lock()
        self._revision = 0
        self._set: tuple[float, list[dict[str, Any]]] | None = None
        self._closing = threading.Event()
        self._thread: threading.Thread | None = None
        self._process: subprocess.Popen[bytes] | None = None
        self._skip: list[str] = []
        self._away = False

    # --- what the tool asks ----------------------------------------------------------------------

    def start(self) -> None:
        """Start the player, off the caller's path."""
        if self._thread is None and self.settings.driver != "none":
            self._thread = threading.Thread(target=self._keep, name="sound", daemon=True)
            self._thread.start()

    def schedule(self, cues: Sequence[AnyCue], horizon: float) -> None:
        """Replace the cues that are due from now on, known for `horizon` seconds ahead."""
        with self._lock:
            since = self.clock()
            self._set = since, [plain(cue) for cue in cues]
            self._send_set(since, self._set[1])

    def play(self, cue: AnyCue) -> None:
        """Play a cue now."""
        if self._thread is None:
            return
        line = _line({"play": plain(cue)})
        if not self._pipe.send(line, until=time.monotonic() + LATEST):
            self._unsent(line)

    def close(self) -> None:
        """Let the player go, without waiting for it."""
        self._closing.set()
        self._pipe.close()
        process = self._process
        if process is not None and process.stdin is not None:
            with contextlib.suppress(OSError, ValueError):
                process.stdin.close()

    @property
    def pid(self) -> int | None:
        """The player's process id while it runs."""
        process = self._process
        return process.pid if process is not None and process.returncode is None else None

    def _unsent(self, line: bytes) -> None:
        """Tell of a cue that never reached a player."""
        self._pass_on("dropped", {"cue": json.loads(line)["play"], "why": "not sent"})

    # --- the thread that keeps the player alive

    def _send_set(self, since: float, cues: list[dict[str, Any]]) -> None:
        self._revision += 1
        self._pipe.send_latest(_line({"set": self._revision, "from": since, "cues": cues}))

    def _keep(self) -> None:
        """Start the player, listen to it, start it again. The kernel ends it with this thread."""
        import subprocess

        begun: list[float] = []
        while not self._closing.is_set():
            begun = [at for at in begun if at > time.monotonic() - 60.0]
            if self._closing.wait(AGAIN[min(len(begun), len(AGAIN) - 1)]):
                break
            begun.append(time.monotonic())
            try:
                process = subprocess.Popen(
                    [sys.executable, "-m", "darkroom.devices.sound.player"],
                    stdin=subprocess.PIPE,
                    stdout=subprocess.PIPE,
                    stderr=subprocess.DEVNULL,
                    start_new_session=True,
                    close_fds=True,
                )
            except OSError as error:
                self._pass_on("died", {"why": str(error)})
                continue
            self._process = process
            self.starts += 1
            self._greet(process)
            if self.starts > 1:
                self._pass_on("restarted", {})
            self._listen(process)
            self._gone(process)

    def _greet(self, process: subprocess.Popen[bytes]) -> None:
        """Give a new player its settings, and the present set without what has sounded already."""
        assert process.stdin is not None
        first = _line({"settings": self.settings.plain(), "skip": self._skip})
        with self._lock:
            self._pipe.open(process.stdin.fileno(), first)
            if self._set is not None:
                since, cues = self._set
                heard_until = max(since, self._died_at)
                self._send_set(heard_until, [cue for cue in cues if cue["up"] > heard_until])

    _died_at = float("-inf")

    def _listen(self, process: subprocess.Popen[bytes]) -> None:
        """Hear the player's reports until it is gone; end it when it gives no sign of life."""
        assert process.stdout is not None
        heard = [time.monotonic()]
        watch = threading.Thread(target=self._watch, args=(process, heard), name="sound watch", daemon=True)
        watch.start()
        for line in process.stdout:
            heard[0] = time.monotonic()
            try:
                report = json.loads(line)
                kind = report.pop("report")
            except (ValueError, KeyError):
                continue  # half a line of a player that died while writing
            if kind != "alive":
                self._pass_on(kind, report)
        heard[0] = float("inf")

    def _watch(self, process: subprocess.Popen[bytes], heard: list[float]) -> None:
        """Flush what the pipe refused; end a player that hangs."""
        looked = time.monotonic()
        while process.returncode is None and heard[0] != float("inf"):
            self._pipe.flush(min(WATCHED, max(0.05, heard[0] + UNHEARD - looked)))
            now = time.monotonic()
            if now - looked > 2 * WATCHED:
                heard[0] = max(heard[0], now)  # we were stopped ourselves, not the player
            looked = now
            if now - heard[0] > UNHEARD:
                process.kill()
                return

    def _gone(self, process: subprocess.Popen[bytes]) -> None:
        """The player is gone: tell it, and pass over a driver that crashed it."""
        self._died_at = self.clock()
        self._pipe.close()
        with contextlib.suppress(OSError, ValueError):
            assert process.stdin is not None and process.stdout is not None
            process.stdin.close()
            process.stdout.close()
        if self._closing.is_set():
            with contextlib.suppress(Exception):
                process.wait(2.0)
            return
        status = process.wait()
        crashed = os.name == "posix" and -status in [getattr(_signals(), name) for name in CRASHES]
        if crashed and self.driver in ("miniaudio", "simpleaudio"):
            self._skip.append(self.driver)
        self.driver = None
        self._pass_on("died", {"status": status})

    def _pass_on(self, kind: str, what: dict[str, Any]) -> None:
        """Pass a report on, with its line for the screen."""
        if kind == "driver":
            self.driver = what["driver"]
            sounding = self.driver not in ("bell", "none")
            if self._away and sounding:
                self._report("back", {"driver": self.driver, "text": "sound is back"})
            self._away = not sounding
        elif kind in ("lost", "died"):
            self._away = True
        elif kind == "bell" and self.bell is not None:
            self.bell()
        self._report(kind, {**what, "text": what.get("text") or text(kind, what)})


MEANT = ("another is said", "words go before it")
"""Why a cue is left out as it is meant to be: nothing for the screen."""


def _signals() -> Any:
    import signal

    return signal


def text(kind: str, what: Mapping[str, Any]) -> str:
    """Return a report as one quiet line for the screen, or "" for one that needs none."""
    name = str((what.get("cue") or {}).get("name", "")).replace("_", " ")
    match kind:
        case "driver":
            lesser = {"bell": "no sound: the bell only", "none": "no sound"}
            return lesser.get(what["driver"], f"sound: {what['driver']}")
        case "lost":
            return "sound lost"
        case "died":
            return "the sound player died"
        case "restarted":
            return "the sound player is started again"
        case "dropped":
            why = what.get("why", "")
            return "" if why in MEANT else f"not sounded: {name} ({why})"
        case "late":
            return f"sounded {what.get('seconds', 0):.1f} s late: {name}"
        case "underrun":
            return f"sound stuttered: buffer now {what.get('buffer', 0) * 1000:.0f} ms"
    return ""


def _line(values: Mapping[str, Any]) -> bytes:
    return json.dumps(values, separators=(",", ":")).encode() + b"\n"
