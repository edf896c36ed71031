"""A plate judged by command and by form, the tool killed while it saves, and what the journal has then."""

from __future__ import annotations

import random
import signal
import time
from collections.abc import Callable
from pathlib import Path

import msgspec

from darkroom.bench.standing import Line
from darkroom.log.journal.merge import read_plate
from tests.kit.photographer import ARGV
from tests.kit.plates import put, unvarnished
from tests.kit.terminal import Terminal

PATIENCE = 60.0
SUBJECT = "Jug and pear"
COMMANDS = {
    "rate": ("--stars", "3", "--exposure-stops", "+1/2", "--fault", "comets@left edge", "--contrast", "soft",
             "--next", "pour slower", "--detail", "varnish=sandarac"),
    "note": ("thin at the upper corner " * 80,),
}  # fmt: skip
WAYS = (*COMMANDS, "form")
TYPED = ("4", "down", "-", "1", "/", "2", "down", "down", "down", *"pour slower")
KEYS = {"down": b"\x1b[B", "enter": b"\r"}
FIRST = {"rate": 0.5, "note": 0.5, "form": 0.03}
"""Seconds from the start of the command, or from enter in the form, to about the instant of saving."""
WIDTH = (0.7, 1.4)
"""The kill comes at a random share of the time to the instant of saving."""
LATER, EARLIER = 1.1, 1 / 1.1
"""That time follows what was saved, so that about half of the kills come before and half after it."""


class KilledJudging:
    """Judges a fresh plate in one way (of WAYS) again and again; `kill` is one attempt."""

    def __init__(self, folder: Path, way: str, seed: str) -> None:
        self.folder, self.way, self.rng = folder, way, random.Random(seed)
        self.kills = self.saved = self.accepted = 0
        self.after = FIRST[way]
        self.whole, _, problems = self._judge(folder / "whole", None)
        assert self.whole and not problems, f"{way}: nothing is saved without a kill: {problems}"

    def kill(self) -> list[str]:
        """Judge a plate, kill the tool at a random moment; return what is wrong with the journal."""
        self.kills += 1
        home = self.folder / str(self.kills)
        added, accepted, problems = self._judge(home, self.after * self.rng.uniform(*WIDTH))
        self.after *= EARLIER if added else LATER
        self.saved += bool(added)
        self.accepted += accepted
        wrong = list(problems)
        if added not in ([], self.whole):
            wrong.append(f"{len(added)} of {len(self.whole)} lines are there, or others")
        if accepted and not added:
            wrong.append("answered as saved and not there")
        return wrong

    def _judge(self, home: Path, after: float | None) -> tuple[list[Line], bool, list[str]]:
        """Return the lines that were added, whether that was answered, and problems of the journal."""
        home.mkdir(mode=0o700)
        before = unvarnished("2026-03-01", SUBJECT)
        path = put(home, before)
        with Terminal(100, 30, env={"DARKROOM_HOME": str(home)}) as terminal:
            is_answered = (self._form if self.way == "form" else self._command)(terminal)
            if after is None:
                terminal.wait_until(is_answered, PATIENCE)
            else:
                time.sleep(after)
            terminal.kill(signal.SIGKILL)
            terminal.wait(PATIENCE)
            accepted = is_answered()
        log = read_plate(path)
        problems = [problem.what for problem in log.problems]
        if list(log.events[: len(before)]) != before:
            problems.append("lines of before the judgement have changed")
        added: list[Line] = [msgspec.structs.replace(event, at="") for event in log.events[len(before) :]]
        return added, accepted, problems

    def _command(self, terminal: Terminal) -> Callable[[], bool]:
        """Start the command; return what tells whether it has answered."""
        terminal.spawn([*ARGV, "log", self.way, "1", *COMMANDS[self.way]])
        return lambda: b".jsonl: line" in terminal.data

    def _form(self, terminal: Terminal) -> Callable[[], bool]:
        """Fill the form and save; return what tells whether it has closed."""
        terminal.spawn([*ARGV, "log", "look"])
        terminal.wait_for(lambda screen: "newest first" in screen and SUBJECT in screen, PATIENCE)
        terminal.send(KEYS["enter"])
        terminal.wait_for("j judge", PATIENCE)
        terminal.send("j")
        terminal.wait_for("JUDGE PLATE 1", PATIENCE)
        for key in TYPED:
            terminal.send(KEYS.get(key, key.encode()))
            time.sleep(0.03)
        terminal.wait_for("pour slower", PATIENCE)
        terminal.send(KEYS["enter"])
        return lambda: "JUDGE PLATE" not in terminal.whole_screen()


def kill_often(folder: Path, way: str, kills: int) -> tuple[KilledJudging, list[str]]:
    """Kill one way of judging so many times; return it with what was wrong, each with the kill's number."""
    folder.mkdir(exist_ok=True)
    judging = KilledJudging(folder, way, f"judging by {way}")
    return judging, [f"{way}, kill {number}: {what}" for number in range(kills) for what in judging.kill()]
