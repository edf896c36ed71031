"""Simulated power cuts under the journal's writer: no line that was called saved is lost.

The control, the same writer without fsync, must lose; else the cuts would prove nothing.
"""

from __future__ import annotations

import random
import tempfile
from pathlib import Path
from unittest.mock import patch

from darkroom.log.store import durable, paths
from tests.kit.power_cut import Powered, lost_in_a_cut, why_not
from tests.measure.attack.attempts import Attempts

CUTS, SHORT_CUTS = 100, 5
"""Cuts of each file system."""
CONTROLS = 5
KINDS = ("ext4", "xfs")


def attack(short: bool) -> Attempts:
    """Cut the power of each file system again and again."""
    attempts = Attempts()
    if (reason := why_not("xfs_io", *(f"mkfs.{kind}" for kind in KINDS))) is not None:
        return attempts.leave_out(reason)
    saved = lost = 0
    for kind in KINDS:
        with tempfile.TemporaryDirectory() as folder:
            disk, rng = Powered(Path(folder), kind), random.Random(kind)
            with patch.object(paths, "spill_places", lambda at=disk.at: (at / "spill", at / "spill 2")):
                for cut in range(SHORT_CUTS if short else CUTS):
                    counted = lost_in_a_cut(disk, rng, cut)
                    attempts.expect(counted[1] == 0, f"{kind}, cut {cut}: {counted[1]} lines lost")
                    saved, lost = saved + counted[0], lost + counted[1]
                with (
                    patch.object(durable, "sync", lambda fd: None),
                    patch.object(durable, "sync_folder", lambda folder: None),
                ):
                    control = sum(lost_in_a_cut(disk, rng, CUTS + cut)[1] for cut in range(CONTROLS))
                attempts.expect(control > 0, f"{kind}: nothing is lost without fsync, so nothing is proved")
                attempts.figures[f"lost on {kind} without fsync"] = str(control)
    attempts.figures["saved"], attempts.figures["lost"] = str(saved), str(lost)
    return attempts
