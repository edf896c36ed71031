"""Every error of ours, drawn as a tree. Imports nothing of ours.

DarkroomError              exit 1: the answer is no
├── ProcessError           a process file is wrong (all its problems at once)
├── SettingsError          the settings file, the kit or a key map is wrong
├── DayError               the file of the day's sheet is wrong
├── MarkWordsError         the file of words for marks is wrong
├── RecipeError            a recipe file is wrong (all its problems at once)
├── FaultsError            a file of faults and causes is wrong (all its problems at once)
├── NothingFound           what was asked for is not there
├── LineError              a line of a journal that cannot be written or read
├── NotSavedError          a note that could not be saved
├── NotWritten             an export that could not be written
├── PlateOnBench           the journal of a plate on the bench is the bench's to write
├── BeyondTable            a strength, density or temperature beyond the table that would tell it
├── CannotMix              a strength that cannot be reached in the way that was asked for
└── WrongUse               exit 2: wrong use, or a path that cannot be read
    ├── QuantityError      a quantity that cannot be read
    ├── NotReadable        a path that does not exist or cannot be read
    ├── AmbiguousPlate     several plates answer to that name
    └── BenchTaken         another full-screen tool holds the bench
"""

from __future__ import annotations

from collections.abc import Iterable


class DarkroomError(Exception):
    """The root of our errors; `exit_status` is what the command line returns."""

    exit_status = 1

    def __str__(self) -> str:
        """Return the text on its lines, with `?` for what a terminal might obey or cannot show."""
        text = super().__str__()
        return text if text.isprintable() else "\n".join(map(harmless, text.split("\n")))


def harmless(text: str) -> str:
    """Return text with `?` for each control character, sign that turns the writing and half of a pair."""
    return "".join(sign if sign.isprintable() else "?" for sign in text)


def is_text(name: str) -> bool:
    """Return whether a file's name is text; one of other bytes comes from the system with halves of pairs."""
    try:
        name.encode()
    except UnicodeEncodeError:
        return False
    return True


class Problem:
    """One mistake in a file: where it is, what is wrong, and the nearest right word.

    `line` counts from 1 and is None when the mistake has no line (an empty file).
    `key` is the path of the key within the file, as `stages[2].time`, or None; `place` is the same in words
    where the file's reader has them: "the second lens (brass 210), focal_length".
    """

    __slots__ = ("file", "key", "line", "nearest", "place", "what")

    def __init__(
        self,
        file: str,
        line: int | None,
        key: str | None,
        what: str,
        nearest: str | None = None,
        place: str | None = None,
    ) -> None:
        self.file, self.line, self.key, self.what, self.nearest = file, line, key, what, nearest
        self.place = place

    def __str__(self) -> str:
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        key = f" {self.place or self.key}:" if self.place or self.key else ""
        nearest = f" (did you mean '{self.nearest}'?)" if self.nearest else ""
        return harmless(f"{place}:{key} {self.what}{nearest}")


class ProblemsError(DarkroomError):
    """Base of the errors that carry a list of `Problem`s; its text has one line for each."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


class ProcessError(ProblemsError):
    """A process file is wrong; `problems` names every mistake found."""


class SettingsError(ProblemsError):
    """The settings file, the kit or a key map is wrong; `problems` names every mistake found."""


class DayError(ProblemsError):
    """The file of the day's sheet is wrong; `problems` names every mistake found."""


class MarkWordsError(ProblemsError):
    """The file of words for marks is wrong; `problems` names every mistake found."""


class RecipeError(ProblemsError):
    """A recipe file is wrong; `problems` names every mistake found."""


class FaultsError(ProblemsError):
    """A file of faults and causes is wrong; `problems` names every mistake found."""


class NothingFound(DarkroomError):
    """What was asked for is not there."""


class LineError(DarkroomError):
    """A line of a journal that cannot be written or read; its text is the reason."""


class NotSavedError(DarkroomError):
    """A note that could not be saved; the journal is as it was before."""


class NotWritten(DarkroomError):
    """An export that could not be written, or that the disk may not keep."""


class PlateOnBench(DarkroomError):
    """The journal of a plate on the bench is the bench's to write: note it there."""


class BeyondTable(DarkroomError):
    """A strength, density or temperature beyond the table that would tell it."""


class CannotMix(DarkroomError):
    """A strength that cannot be reached in the way that was asked for; its text says what can be done."""


class WrongUse(DarkroomError):
    """Wrong use of a command, or of a word in it."""

    exit_status = 2


class QuantityError(WrongUse):
    """A quantity that cannot be read; its text says what was expected."""


class NotReadable(WrongUse):
    """A path that does not exist or cannot be read."""


class AmbiguousPlate(WrongUse):
    """Several plates answer to that name; its text lists them."""


class BenchTaken(WrongUse):
    """Another full-screen tool holds the bench."""


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Return the known word most like `word`, or None when none is near."""
    import difflib  # needed only where a word is wrong

    matches = difflib.get_close_matches(word, list(known), n=1, cutoff=0.6)
    return matches[0] if matches else None
