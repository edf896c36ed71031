"""Each process file is read once while a form is open."""

from __future__ import annotations

from typing import cast

from darkroom.errors import DarkroomError
from darkroom.process.model import Process
from darkroom.resources import read_process, shipped_processes
from darkroom.screens.home.read_processes import ReadProcesses
from darkroom.screens.process_list import ProcessList


class CountedList:
    """A list of processes that counts what is read; the file of "wrong" is."""

    def __init__(self) -> None:
        self.asked: list[str] = []
        self.process = read_process(shipped_processes()[0])

    def read(self, name: str) -> Process:
        """Read one."""
        self.asked.append(name)
        if name == "wrong":
            raise DarkroomError("line 1: it is")
        return self.process


def test_a_file_is_read_once() -> None:
    """A right one and a wrong one are read at the first question alone; no name reads nothing."""
    counted = CountedList()
    one = ReadProcesses(cast(ProcessList, counted))
    assert one.known("right") is None and counted.asked == []
    for _ in range(2):
        assert one.read("right") is counted.process
        assert one.read("wrong") is None
        assert one.read("") is None
    assert counted.asked == ["right", "wrong"]
    assert one.known("right") is counted.process and one.known("wrong") is None
