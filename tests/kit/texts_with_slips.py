"""Texts of files as a hand spoils them: lines, words and signs that are lost, doubled or exchanged."""

from __future__ import annotations

import random
from collections.abc import Sequence

from hypothesis import strategies as st

MOST_SLIPS = 8


def any_texts() -> st.SearchStrategy[str]:
    """Return any texts, and any bytes as text."""
    return st.one_of(st.text(), st.binary().map(lambda raw: raw.decode("latin-1")))


def texts_of_words(words: Sequence[str]) -> st.SearchStrategy[str]:
    """Return texts of these words in any order."""
    return st.lists(st.sampled_from(words), max_size=60).map("".join)


def texts_with_slips(texts: Sequence[str], words: Sequence[str]) -> st.SearchStrategy[str]:
    """Return one of the texts with 1 to MOST_SLIPS slips; what is written by mistake is one of the words."""
    return st.builds(
        lambda text, seed, slips: with_slips(text, words, seed, slips),
        st.sampled_from(texts),
        st.integers(0, 2**32),
        st.integers(1, MOST_SLIPS),
    )


def with_slips(text: str, words: Sequence[str], seed: int, slips: int) -> str:
    """Return a text with so many slips, chosen by `seed`; never an empty one."""
    chance = random.Random(seed)
    for _ in range(slips):
        lines = text.split("\n")
        at = chance.randrange(len(lines))
        match chance.randrange(5):
            case 0:
                del lines[at]
            case 1:
                lines.insert(at, lines[chance.randrange(len(lines))])
            case 2:
                lines[at] = lines[at][1:]
            case 3:
                lines[at] += chance.choice(words)
            case _:
                cut = chance.randrange(len(lines[at]) + 1)
                lines[at] = lines[at][:cut] + chance.choice(words) + lines[at][cut + 1 :]
        text = "\n".join(lines) or "x"
    return text
