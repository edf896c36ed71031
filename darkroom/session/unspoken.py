"""What a process would speak that has no recording, and what is said in its place. Pure."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from darkroom.bench import endings, moments
from darkroom.process.model import Process, Stage
from darkroom.session.speech import SpokenSet

PLATE_ALONE = "the plate's number"
"""What is said where not even the name of the stage can be."""


class Unspoken(NamedTuple):
    """One text of a process that cannot be said whole.

    `key` is its place in the file (`stages[2].verb.due`, counted from 1), `words` are those without a
    recording, `instead` is the text that is said, or None: then the number of the plate is.
    """

    key: str
    text: str
    words: tuple[str, ...]
    instead: str | None

    @property
    def what(self) -> str:
        """The note in words: "no recording of 'warm': says 'caution varnish' instead"."""
        words = ", ".join(f"'{word}'" for word in self.words)
        said = f"'{self.instead}'" if self.instead is not None else PLATE_ALONE
        return f"no recording of {words}: says {said} instead"


def unspoken(process: Process, spoken: SpokenSet) -> list[Unspoken]:
    """Return what the voice cannot say of a process, in the order of its stages."""
    found = []
    for place, stage in enumerate(process.stages, 1):
        for key, text, alternatives in _spoken_of(process, stage):
            words = spoken.missing(text)
            if words:
                instead = next((other for other in alternatives if spoken.phrases(other)), None)
                found.append(Unspoken(f"stages[{place}].{key}", text, words, instead))
    return found


def _spoken_of(process: Process, stage: Stage) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """Give (key, text, what the voice says when it cannot say it) of all that a stage speaks."""
    yield "name", stage.name, ()
    if stage.label is not None:
        yield "label", stage.label, ()
    if stage.short is not None and _is_asked_for(process, stage):
        yield "short", stage.short, ()
    if stage.verb is not None and stage.verb.lead_in is not None and stage.lead_in:
        yield "verb.lead_in", stage.verb.lead_in, (stage.name,)
    if stage.verb is not None and stage.verb.due is not None:
        yield "verb.due", stage.verb.due, (stage.name,)
    if stage.repeat is not None:
        yield "repeat.verb", stage.repeat.verb, (stage.name,)
    for number, caution in enumerate(stage.cautions, 1):
        yield f"cautions[{number}]", caution, (f"caution {stage.name}", "caution")


def _is_asked_for(process: Process, stage: Stage) -> bool:
    """True where the question before an early end of the stage before names this one: "again to wash"."""
    place = process.index(stage.name)
    before = process.stages[place - 1] if place else None
    if before is None or not endings.of(before).calls or process.is_free_early(before):
        return False
    return moments.verb_when_due(process, before) == stage.large
