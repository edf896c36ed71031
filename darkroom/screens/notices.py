"""The quiet line of the screen: what does not work now, the worst first."""

from __future__ import annotations

RANKS = {"disk": 0, "spill": 1, "start": 2, "sound": 3}
"""{topic: rank}, the worst first: the disk, a plate that did not come back, the calls; others follow."""


class Notices:
    """One line for each topic that does not work; a topic is a word, perhaps with more words after it."""

    def __init__(self) -> None:
        self._texts: dict[str, str] = {}

    @property
    def text(self) -> str | None:
        """The worst line, with how many more there are; None when everything works."""
        if not self._texts:
            return None
        ranked = sorted(self._texts, key=lambda topic: RANKS.get(topic.partition(" ")[0], len(RANKS)))
        worst, *others = ranked
        text = self._texts[worst]
        if worst == "sound" and others:  # two words of it are enough beside what else there is
            second, *others = others
            text = f"{text.partition(':')[0]}; {self._texts[second]}"
        return text + (f" (and {len(others)} more)" if others else "")

    def say(self, topic: str, text: str | None) -> None:
        """Set the line of a topic; None or an empty one says that it works again."""
        if text:
            self._texts[topic] = text
        else:
            self._texts.pop(topic, None)
