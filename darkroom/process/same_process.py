"""A process as the key of what is worked out once for it. Pure."""

from __future__ import annotations

from darkroom.process.model import Process


class SameProcess:
    """A process as a key: the plates of a log go through one of a few, each the same object for all."""

    __slots__ = ("process",)

    def __init__(self, process: Process) -> None:
        self.process = process

    def __hash__(self) -> int:
        return id(self.process)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, SameProcess) and other.process is self.process
