"""A disk whose power is cut: a file system on a loop device that is shut down under the writer."""

from __future__ import annotations

import os
import random
import subprocess
import sys
from pathlib import Path

from darkroom.bench import events as ev
from darkroom.log.journal.merge import read_plate
from darkroom.log.store import paths
from tests.kit.journals import DAY, ReportLog, cause, eager_writer, missing, program, started


def why_not(*programs: str) -> str | None:
    """Return why no file system can be mounted here with these programs, or None."""
    if sys.platform != "linux" or os.geteuid() != 0:
        return "needs root on Linux, to mount a file system"
    return missing("mount", "umount", *programs)


def run(*command: str) -> subprocess.CompletedProcess[str]:
    """Run a program that must succeed."""
    return subprocess.run([program(command[0]), *command[1:]], check=True, capture_output=True, text=True)


class Powered:
    """A file system on a loop device whose power can be cut."""

    def __init__(self, folder: Path, kind: str = "xfs") -> None:
        """Make it of a kind, xfs or ext4; mkfs.xfs wants 300 MB, none of which is really taken."""
        self.image, self.at = folder / "disk.img", folder / "disk"
        self.at.mkdir()
        with self.image.open("wb") as image:
            image.truncate(320 << 20)
        run(f"mkfs.{kind}", "-q", str(self.image))

    def on(self) -> None:
        """Mount it."""
        run("mount", "-o", "loop", str(self.image), str(self.at))

    def cut(self) -> None:
        """Cut the power: what is not on the disk now is gone."""
        run("xfs_io", "-x", "-c", "shutdown", str(self.at))

    def off(self) -> None:
        """Unmount it."""
        run("umount", str(self.at))


def lost_in_a_cut(powered: Powered, rng: random.Random, cycle: int) -> tuple[int, int]:
    """Write two plates until the power is cut; return (lines called saved, those of them lost)."""
    plates = [f"20260301-{cycle:06d}-abc12{number}" for number in range(2)]
    home = powered.at / "home"
    powered.on()
    try:
        report_log = ReportLog()
        writer = eager_writer(home, report_log)
        stop = rng.randrange(1, 120)
        for number in range(stop):
            for plate in plates:
                writer.write(plate, DAY, [started(plate), *cause(0)[1:]] if number == 0 else cause(number))
        enough = rng.randrange(0, 2 * stop)
        while writer.waiting() and report_log.saved(plates[0]) < enough:
            writer.flush(0.001)
        saved = {plate: report_log.saved(plate) for plate in plates}
        powered.cut()
        writer.close(0)
    finally:
        powered.off()
    powered.on()
    try:
        lost = 0
        for plate in plates:
            log = read_plate(paths.plate_path(home, plate, DAY))
            lost += len(set(range(1, saved[plate] + 1)) - {event.n for event in log.events})
            assert [event.n for event in log.events] == list(range(1, len(log.events) + 1))
            assert all(isinstance(event, ev.PlateStarted | ev.Mark) for event in log.events)
    finally:
        powered.off()
    return sum(saved.values()), lost
