"""What a process wants confirmed before a plate is put on the bench, and the answers that stand today."""

from __future__ import annotations

from collections.abc import Mapping

from darkroom.bench.working_day import hour, working_day
from darkroom.process.model import Process

FIRST = "The supplier's safety sheets, local codes and licensed practice come first."
"""It stands on every sheet of the day, whatever else a sheet says."""


def to_confirm(process: Process) -> list[str]:
    """Return what must be confirmed with dry hands, once a day, before a plate of this process."""
    return [stage.confirm for stage in process.stages if stage.confirm]


class Confirmations:
    """The questions that were asked and answered with yes, each with its process and instant.

    An answer stands for its process and question until the day changes. It comes from `confirm` alone, which
    is called where a hand answered, and from the file of the day, which holds such answers.
    """

    def __init__(self) -> None:
        """Begin with nothing answered."""
        self._answers: dict[tuple[str, str], str] = {}

    def take(self, answers: Mapping[tuple[str, str], str]) -> None:
        """Take {(process, question): instant} that the file of the day holds."""
        self._answers |= answers

    def confirm(self, process: Process, question: str, at: str) -> None:
        """Note that a question of the process was answered with yes at an instant (RFC 3339 text)."""
        if question in to_confirm(process):
            self._answers[process.name, question] = at

    def standing(self, process: Process, at: str) -> tuple[tuple[str, str], ...]:
        """Return (question, instant of its yes) of the process, as far as they stand at `at`."""
        today = working_day(at)
        return tuple(
            (question, since)
            for question in to_confirm(process)
            if (since := self._answers.get((process.name, question))) is not None
            and working_day(since) == today
        )

    def missing(self, process: Process, at: str) -> list[str]:
        """Return the questions of the process that are to be asked before a plate of it begins at `at`."""
        answered = dict(self.standing(process, at))
        return [question for question in to_confirm(process) if question not in answered]

    def complete(self, process: Process, at: str) -> tuple[tuple[str, str], ...] | None:
        """Return what `standing` does; None while a question of the process is to be asked."""
        return None if self.missing(process, at) else self.standing(process, at)

    def said(self, process: Process, at: str) -> str | None:
        """Return "cyanide: confirmed at 09:12", or that it is to be confirmed; None where nothing is.

        What is confirmed is named by the hazard that its stage holds, else by the stage.
        """
        since = dict(self.standing(process, at))
        texts = []
        for stage in process.stages:
            if stage.confirm is not None:
                name = "cyanide" if "cyanide" in stage.holds else stage.shown
                answered = since.get(stage.confirm)
                texts.append(
                    f"{name}: to be confirmed"
                    if answered is None
                    else f"{name}: confirmed at {hour(answered)}"
                )
        return ", ".join(texts) or None
