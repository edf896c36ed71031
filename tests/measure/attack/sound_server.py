"""The sound server is killed and started again under the tool: it is said, and the sound comes back."""

from __future__ import annotations

import importlib.util
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from tests.kit.photographer import Photographer, journal, shortened
from tests.measure.attack.attempts import Attempts

KILLS, SHORT_KILLS = 20, 2
BACK = 5.0
"""Seconds within which the screen says no longer that there is no sound, once the server answers."""
PATIENCE = 30.0
SOUNDS = "saved"
"""What the lowest line of the bench says when nothing is wrong."""
SILENT = "no sound"


def attack(short: bool) -> Attempts:
    """Kill the server again and again; each time a press is kept, and heard once the server is back."""
    attempts = Attempts()
    if importlib.util.find_spec("numpy") is None:
        return attempts.leave_out("numpy is not installed")
    from tests.kit import sound_recording

    if (lacking := sound_recording.missing()) is not None:
        return attempts.leave_out(f"{lacking} is not installed")
    server = sound_recording.Server(rewinds=False)
    slowest = 0.0
    try:
        server.start()
        with tempfile.TemporaryDirectory() as folder:
            slowest = _kills(attempts, server, Path(folder), SHORT_KILLS if short else KILLS)
    finally:
        server.close()
    attempts.figures["slowest return, s"] = f"{slowest:.1f}"
    return attempts


def _kills(attempts: Attempts, server: object, folder: Path, kills: int) -> float:
    """Work one plate through the kills; return the longest the sound took to come back, in seconds."""
    from tests.kit.sound_recording import Capture, Server, wait_for

    assert isinstance(server, Server)
    home, slowest = folder / "home", 0.0
    hand = Photographer(home, 100, 24, **server.env)
    with hand.terminal as terminal:
        hand.open("bench", str(shortened(folder)))
        hand.strike("sensitise")
        terminal.wait_for(_ends_with(SOUNDS), PATIENCE)
        for kill in range(1, kills + 1):
            server.kill()
            said = True
            try:
                terminal.wait_for(_ends_with(SILENT), PATIENCE)
            except TimeoutError:
                said = False
            attempts.expect(said, f"kill {kill}: the screen never says so")
            hand.press("6")
            kept = wait_for(lambda: _marks(home) == 2 * kill - 1, PATIENCE)  # noqa: B023
            attempts.expect(kept, f"kill {kill}: a press without sound is not in the journal")
            hand.last = time.monotonic()  # a key that was read late is nearer to the next
            server.start()
            begun = time.monotonic()
            try:
                seen = terminal.wait_for(_ends_with(SOUNDS), PATIENCE)
            except TimeoutError:
                seen = begun + PATIENCE
            slowest = max(slowest, seen - begun)
            attempts.expect(seen - begun <= BACK, f"kill {kill}: back after {seen - begun:.1f} s")
            capture = Capture(server)
            try:
                before = capture.recorded()
                hand.press("6")
                heard = wait_for(lambda: capture.since(before).any(), PATIENCE)  # noqa: B023
            finally:
                capture.close()
            attempts.expect(heard, f"kill {kill}: a press is not heard once the server is back")
            wait_for(lambda: _marks(home) == 2 * kill, PATIENCE)  # noqa: B023
            hand.last = time.monotonic()
        assert terminal.process is not None
        attempts.expect(terminal.process.poll() is None, "the tool has ended")
    return slowest


def _ends_with(text: str) -> Callable[[str], bool]:
    return lambda screen: screen.rstrip().endswith(text)


def _marks(home: Path) -> int:
    return sum(line["event"] == "mark" for line in journal(home)[0])
