"""A fault that a plate was judged to have, as one record: what it is called, where it is, and why. Pure."""

from __future__ import annotations

from typing import TYPE_CHECKING

import msgspec

if TYPE_CHECKING:  # a list of the log shows faults, and reads no journal
    from darkroom.bench import events as ev


class JudgedFault(msgspec.Struct, frozen=True):
    """A fault of the plate: its name, where on the plate it is, and what is known of its cause.

    Name and place are free texts: whatever signs they hold, a joined text is never taken apart again.
    `cause` is what the photographer says it came from, `answers` are (question, or what a test says to do;
    answer) as they were given.
    """

    name: str
    where: str | None = None
    cause: str | None = None
    answers: tuple[tuple[str, str], ...] = ()

    @property
    def text(self) -> str:
        """The fault in one text: "fog (left edge)"."""
        return f"{self.name} ({self.where})" if self.where else self.name

    @property
    def reasons(self) -> tuple[str, ...]:
        """What is known of its cause, each in one text: "cause: warm developer", "Is it grey? yes"."""
        cause = () if self.cause is None else (f"cause: {self.cause}",)
        return (*cause, *(answer_text(question, answer) for question, answer in self.answers))


def fault_of(line: ev.Fault) -> JudgedFault:
    """Return what a line says of a fault."""
    return JudgedFault(line.name, line.where, line.cause, tuple((line.answers or {}).items()))


def answer_text(question: str, answer: str) -> str:
    """Return a question with its answer in one text: "Is it grey? yes", "Pour it cooler: shown"."""
    question = question.strip()
    return f"{question} {answer}" if question.endswith("?") else f"{question.rstrip('.')}: {answer}"
