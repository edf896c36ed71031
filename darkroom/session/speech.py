"""From what is written to what can be said: words, numbers, and phrases of the spoken set. Pure.

A text becomes plain words: "2:10 short" is "2 minutes 10 short". The spoken set has recordings of words and
of whole phrases; a text is said with the fewest of them. A word that has no recording makes the whole text
unsayable, and what is said instead is the caller's to give: nothing is left out of a sentence.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable

from darkroom.late_patterns import late_pattern

LONGEST_NUMBER = 999
"""Numbers up to this one are put together from recordings."""

_CLOCK = late_pattern(r"\b(?:(\d{1,3}):)?(\d{1,4}):(\d{2})\b")
_UNITS = (
    (late_pattern(r"(?<=\d)\s*(?:h|hr)\b"), " hours"),
    (late_pattern(r"(?<=\d)\s*min\b"), " minutes"),
    (late_pattern(r"(?<=\d)\s*s\b"), " seconds"),
    (late_pattern(r"(?<=\d)\s*°\s*[cf]?\b"), " degrees"),
    (late_pattern(r"(?<=\d)\s*%"), " per cent"),
    (late_pattern(r"(?<=\d)[.,](?=\d)"), " point "),
)
_ONE = late_pattern(r"(?<![\d:.])\b1 (hour|minute|second|degree)s\b")
_WORD = late_pattern(r"[^\W_]+")


def words_of(text: str) -> tuple[str, ...]:
    """Return the words of a text as they are said, in lower case and without signs.

    >>> words_of("2:10 short: again to lift"), words_of("1 min 5 s")
    (('2', 'minutes', '10', 'short', 'again', 'to', 'lift'), ('1', 'minute', '5', 'seconds'))
    """
    plain = _CLOCK.sub(_clock, text.lower().replace("'", "").replace("’", ""))
    for pattern, said in _UNITS:
        plain = pattern.sub(said, plain)
    plain = _ONE.sub(r"1 \1", plain)
    return tuple(str(int(word)) if _is_number(word) else word for word in _WORD.findall(plain))


def _is_number(word: str) -> bool:
    return word.isascii() and word.isdigit()


def _clock(match: re.Match[str]) -> str:
    """Say "2:10" as 2 minutes 10, "0:30" as 30 seconds, "1:02:05" as 1 hour 2 minutes."""
    hours, minutes, seconds = int(match[1] or 0), int(match[2]), int(match[3])
    if hours:
        return f"{hours} hours" + (f" {minutes} minutes" if minutes else "")
    if not minutes:
        return f"{seconds} seconds"
    return f"{minutes} minutes" + (f" {seconds}" if seconds else "")


class SpokenSet:
    """The recordings there are, by what each says: "lift", or "it went on by itself"."""

    def __init__(self, recorded: Collection[str]) -> None:
        """`recorded` are words and phrases in lower case, the words of a phrase apart by spaces."""
        self._recorded = frozenset(tuple(name.split()) for name in recorded)
        self._longest = max(map(len, self._recorded), default=1)

    def say(self, texts: Iterable[str], instead: Iterable[str] = ()) -> tuple[str, ...]:
        """Return the recordings that say the texts one after the other.

        In place of a text that cannot be said stands the first text of `instead` that can, once.
        """
        said: tuple[str, ...] = ()
        alternatives = [found for text in instead if (found := self.phrases(text)) is not None][:1]
        for text in texts:
            found = self.phrases(text)
            if found is None:
                found = alternatives.pop() if alternatives else ()
            said += found
        return said

    def phrases(self, text: str) -> tuple[str, ...] | None:
        """Return the fewest recordings that say a text, or None when a word of it has none."""
        words = words_of(text)
        best: list[tuple[str, ...] | None] = [()]
        for end in range(1, len(words) + 1):
            found: tuple[str, ...] | None = None
            for begin in range(max(0, end - self._longest), end):
                before, piece = best[begin], words[begin:end]
                if before is None or not self._has(piece):
                    continue
                if found is None or len(before) + 1 < len(found):
                    found = (*before, " ".join(piece))
            best.append(found)
        return best[-1]

    def missing(self, text: str) -> tuple[str, ...]:
        """Return the words of a text that are in no recording that fits there; () when it can be said."""
        if self.phrases(text) is not None:
            return ()
        words = words_of(text)
        covered: set[int] = set()
        for begin in range(len(words)):
            for end in range(begin + 1, min(len(words), begin + self._longest) + 1):
                if self._has(words[begin:end]):
                    covered.update(range(begin, end))
        lacking = [word for place, word in enumerate(words) if place not in covered]
        return tuple(dict.fromkeys(lacking or words))

    def _has(self, piece: tuple[str, ...]) -> bool:
        number = len(piece) == 1 and _is_number(piece[0])
        return piece in self._recorded or (number and int(piece[0]) <= LONGEST_NUMBER)
