"""Switches of the toolkit and of Python under every command, and under a rehearsal: none has an effect."""

from __future__ import annotations

import signal
import tempfile
import time
from pathlib import Path

from tests.kit import season, switches
from tests.kit.audit import audit
from tests.kit.photographer import Photographer
from tests.kit.stopped_tool import OWN_COLOURS
from tests.measure.attack.attempts import Attempts, tool

PATIENCE = 60.0
"""Seconds; under Python's own debugging the start takes several times as long."""
SHORT = 5
"""Commands in the short form."""


def attack(short: bool) -> Attempts:
    """Compare each command with and without them; then nobody presses a key in a rehearsal."""
    attempts = Attempts()
    with tempfile.TemporaryDirectory() as name:
        home, folder = Path(name, "home"), Path(name, "switches")
        folder.mkdir()
        season.write(home, 20, seed=3, days=20)
        for words in switches.COMMANDS[: SHORT if short else None]:
            wrong = switches.changed(tool(), words, home, folder)
            attempts.expect(wrong is None, wrong or "")
        _rehearse(attempts, Path(name), folder)
    return attempts


def _rehearse(attempts: Attempts, place: Path, folder: Path) -> None:
    """Look at a rehearsal for three seconds: it stands where it began."""
    hand = Photographer(place / "rehearsed", XDG_STATE_HOME=str(place / "state"), **switches.every(folder))
    with hand.terminal:
        hand.terminal.spawn([*tool(), "rehearse", "tintype"])
        hand.wait("menu", PATIENCE)
        before = _keys(hand)
        time.sleep(3.0)
        after = _keys(hand)
        attempts.expect(
            hand.terminal.process is not None and hand.terminal.process.poll() is None, "it ended"
        )
        attempts.expect(before == after, f"something was pressed: {before} {after}")
        hand.terminal.kill(signal.SIGTERM)
        status = hand.terminal.wait(20)
        attempts.expect(status == 128 + signal.SIGTERM, f"exit status {status}")
        leaks = audit(hand.terminal.data.replace(OWN_COLOURS, b""), 24)
        attempts.expect(leaks == [], f"not red: {leaks[:3]}")
        attempts.expect(list(folder.iterdir()) == [], "files were written")


def _keys(hand: Photographer) -> str:
    """Return what the last row says of the keys; what it says of saving and sound may change by itself."""
    return hand.terminal.whole_screen().splitlines()[-1].split("   ")[0].strip()
