"""A disk that hangs for as long as a test wants."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest

from darkroom.log.store import durable
from tests.kit.journals import path_of


class HangingDisk:
    """Lets fsync wait below folders until `answers` is set."""

    def __init__(self, patch: pytest.MonkeyPatch, *folders: Path) -> None:
        self.answers = threading.Event()
        self.folders = folders
        real = durable.sync

        def sync(fd: int) -> None:
            if any(path_of(fd).startswith(str(folder)) for folder in self.folders):
                self.answers.wait(60)
            real(fd)

        patch.setattr(durable, "sync", sync)
