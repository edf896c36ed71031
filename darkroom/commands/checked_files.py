"""What the commands that check files print alike."""

from __future__ import annotations

from darkroom.errors import Problem


def problem_as_json(problem: Problem) -> dict[str, object]:
    """Return a mistake or a note as JSON has it."""
    return {
        "file": problem.file,
        "line": problem.line,
        "key": problem.key,
        "what": problem.what,
        "near": problem.nearest,
    }


def verdict(right: int, wrong: int, unreadable: int) -> str:
    """Return how many files are right, wrong and not readable, as a line."""
    parts = ((right, "right"), (wrong, "wrong"), (unreadable, "not readable"))
    return ", ".join(f"{number} {word}" for number, word in parts if number)
