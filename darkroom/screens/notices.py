"""The quiet line of the screen: what does not work now, the worst first."""

from __future__ import annotations

RANKS = {"disk": 0, "spill": 1, "start": 2, "sound": 3, "silent": 4}
"""{topic: rank}, the worst first: the disk, a plate that did not come back, the calls that cannot be heard,
those that are silent by setting; others follow."""


class Notices:
    """One line for each topic that does not work; a topic is a word, perhaps with more words after it.

    Any thread may say something.
    """

    def __init__(self) -> None:
        self._texts: dict[str, str] = {}

    @property
    def text(self) -> str | None:
        """The worst line, with how many more there are; None when everything works."""
        texts = self._texts.copy()  # another thread may take a line away meanwhile
        if not texts:
            return None
        ranked = sorted(texts, key=lambda topic: RANKS.get(topic.partition(" ")[0], len(RANKS)))
        worst, *others = ranked
        text = texts[worst]
        if worst in ("sound", "silent") and others:  # its first words are enough beside what else there is
            second, *others = others
            text = f"{text.partition(':')[0]}; {texts[second]}"
        return text + (f" (and {len(others)} more)" if others else "")

    def say(self, topic: str, text: str | None) -> None:
        """Set the line of a topic; None or an empty one says that it works again."""
        if text:
            self._texts[topic] = text
        else:
            self._texts.pop(topic, None)
