"""The exposure page in real terminals: opened by its key, red at every depth, and giving its time."""

from __future__ import annotations

import sys
import time
from pathlib import Path

import pytest

from tests.kit.audit import audit
from tests.kit.judged_log import put_season
from tests.kit.terminal import KEYS, Terminal

KIT = """\
lenses: [{name: brass lens, focal_length: 210 mm}]
places: [{name: garden, latitude: 52.09, longitude: 5.12, time_zone: Europe/Amsterdam}]
"""


@pytest.mark.slow
@pytest.mark.parametrize(
    ("term", "colorterm", "depth", "size"),
    [
        ("xterm-256color", "truecolor", 24, (120, 40)),
        ("xterm-256color", None, 8, (80, 24)),
        ("linux", None, 4, (80, 24)),
    ],
)
def test_every_source_is_red(
    tmp_path: Path, term: str, colorterm: str | None, depth: int, size: tuple[int, int]
) -> None:
    """From home by F8, through all four sources with their answers, and back with the time by enter."""
    home = tmp_path / "home"
    home.mkdir(mode=0o700)
    put_season(home)
    (home / "kit.yaml").write_text(KIT, encoding="utf-8")
    env = {"DARKROOM_HOME": str(home), "XDG_STATE_HOME": str(home / "state"), "NO_COLOR": "1"}
    with Terminal(*size, term, colorterm, env) as terminal:

        def press(*keys: str) -> None:
            for key in keys:
                terminal.send(KEYS.get(key, key.encode()))
                time.sleep(0.05)  # what comes at once may be taken for a paste

        terminal.spawn([sys.executable, "-m", "darkroom"])
        terminal.wait_for("F8 exposure")
        press("f8")
        terminal.wait_for("no time yet")
        press("down", *"window", "down", "9", "down", *"garden")
        press("down", *"13:00")  # the sun is up then, whenever the test runs
        press(*["down"] * 3, *"brass", "down", *"f/5.6")
        terminal.wait_for("from 7 plates")
        press(*["up"] * 8)
        for said in ("from plate 35", "by the meter", "by the sun"):
            press("right")
            terminal.wait_for(said)
        press(*["pagedown"] * 4)
        terminal.wait_for("Best ")
        press("enter")
        terminal.wait_for("subject")
        assert audit(terminal.data, depth) == []
