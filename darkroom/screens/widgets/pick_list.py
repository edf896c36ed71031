"""A list to choose from with dry hands: letters that are typed leave the rows that hold them.

Beside each row stands what it means; beneath the list that of the row under the hand, whole. Words that no
row has may be taken as they are, where the asker allows it. The clocks of the bench stand above it, as for
every dialog.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from darkroom.late_patterns import late_pattern
from darkroom.process.text.plain_text import plain
from darkroom.screens.widgets.form import Field, Form
from darkroom.screens.widgets.rows import Row, clip, fill, width
from darkroom.screens.widgets.typed_dialog import TypedDialog
from darkroom.screens.widgets.wrapped_text import wrapped

WIDEST_LABEL = 30
"""A label takes so many cells at most, so that what it means has room beside it."""
MEANING_FROM = 60
"""From so many columns on the meaning stands beside each row."""
MOST_TOLD = 3
"""Beneath the list what a row means takes so many rows at most."""
KEYS_FROM = 12
"""The keys are told on a screen of so many rows and more."""
KEYS = "Letters find; up and down choose; enter takes it; escape leaves it as it was."
NOTHING_FITS = "nothing fits: backspace shows all"
ENDINGS = ("ing", "ed", "es", "s")
"""Endings of words that do not count where a row is looked for."""
SHORTEST_STEM = 3
"""A word keeps so many letters at least."""
_WORD = late_pattern(r"\w+")


@dataclass(frozen=True, slots=True)
class Pick:
    """One row: the `value` that is given back, what it is called, what it means, what it is also found by."""

    value: str
    label: str
    meaning: str = ""
    found_by: str = ""


class PickList(TypedDialog):
    """Gives the value of the row that was chosen, or None.

    With `own` words that are typed can be taken too: it is what is said of them. They come after the rows.
    """

    def __init__(self, title: str, picks: Sequence[Pick], chosen: str = "", own: str | None = None) -> None:
        super().__init__()
        self.heading, self.picks, self.own = title, list(picks), own
        self.form = Form([Field("words", "", KEYS)])
        self.found = list(self.picks)
        """The rows that hold what was typed, the best first."""
        values = [pick.value for pick in self.found]
        self.under = values.index(chosen) if chosen in values else 0
        """The place of the row under the hand."""
        self._room = 1

    @property
    def typed(self) -> str:
        """What was typed to find a row, or as words of one's own."""
        return self.form.current.value.strip()

    # --- keys ------------------------------------------------------------------------------------

    def answer(self) -> str | None:
        """Return the value of the row under the hand."""
        return self.found[self.under].value if self.found else None

    def pressed(self, key: str, character: str | None) -> None:
        """Move the hand, or find by what is typed."""
        last = len(self.found) - 1
        match key:
            case "up" | "shift+tab":
                self.under = self.under - 1 if self.under else max(0, last)
            case "down" | "tab":
                self.under = self.under + 1 if self.under < last else 0
            case "pageup":
                self.under = max(0, self.under - self._room)
            case "pagedown":
                self.under = max(0, min(last, self.under + self._room))
            case _:
                before = self.typed
                self.form.key(key, character)
                if self.typed != before:
                    self.typed_anew()

    def typed_anew(self) -> None:
        """Leave the rows that hold every word typed: those whose name begins with it first."""
        self.found, self.under = matching(self.picks, self.typed), 0
        named = {pick.label.casefold() for pick in self.picks}
        if self.own is not None and self.typed and self.typed.casefold() not in named:
            meaning = self.own if self.found else f"{self.own} In the list {NOTHING_FITS}."
            self.found.append(Pick(self.typed, f"“{plain(self.typed)}”", meaning))

    # --- drawing ---------------------------------------------------------------------------------

    def rows(self, columns: int, rows: int) -> list[Row]:
        """Return the question, what was typed, the rows in sight, and what the one under the hand means."""
        cells = max(1, min(WIDEST_LABEL, columns - 16))
        line = self.form.line(self.form.current, [(" find: ", "quiet")], cells)
        heading: list[Row] = [[(f" {clip(plain(self.heading), max(1, columns - 2))}", "loud")], line]
        under = self.found[self.under] if self.found else None
        told, cells = NOTHING_FITS if under is None else under.meaning, max(8, columns - 2)
        foot: list[Row] = [[(f" {text}", "text")] for text in wrapped(told, cells)[:MOST_TOLD] if text]
        kept = MOST_TOLD if rows >= 16 else len(foot)  # the list stays where it is while the hand moves
        foot += [[]] * (kept - len(foot))
        if rows >= KEYS_FROM:
            foot += [[(f" {text}", "quiet")] for text in wrapped(KEYS, cells)]
        room = rows - len(heading) - len(foot) - (2 if rows >= 12 else 0)
        if room < 3:
            foot, room = [], max(1, rows - len(heading))
        self._room = max(1, room)
        gap: list[Row] = [[]] if rows >= 12 else []
        return [*heading, *gap, *self._list(columns, room), *gap, *foot][:rows]

    def _list(self, columns: int, room: int) -> list[Row]:
        first = max(0, min(self.under - room // 2, len(self.found) - room))
        wanted = max((width(pick.label) for pick in self.picks), default=0)
        cells = min(wanted, WIDEST_LABEL, columns - 4)
        drawn: list[Row] = []
        for place in range(first, min(first + room, len(self.found))):
            pick = self.found[place]
            label = fill([(clip(plain(pick.label), max(1, cells)), "text")], max(1, cells))
            words = "".join(text for text, _ in label)
            meaning = (
                clip(plain(pick.meaning), max(1, columns - cells - 5)) if columns >= MEANING_FROM else ""
            )
            kind = "reversed" if place == self.under else "text"
            drawn.append([(" ", "text"), (f" {words} ", kind), (f" {meaning}", "quiet")])
        if first > 0 and len(drawn) > 2:
            drawn[0] = [*drawn[0][:2], (f" … {first} more above", "quiet")]
        more = len(self.found) - first - len(drawn)
        if more > 0 and drawn:
            drawn[-1] = [*drawn[-1][:2], (f" … {more} more below", "quiet")]
        return drawn + [[]] * (room - len(drawn))


def matching(picks: Sequence[Pick], typed: str) -> list[Pick]:
    """Return the rows with a word that begins as each word of a text does, in name, meaning or found_by.

    Those whose name begins with it come first, then those with such words in their name, then the others;
    within each in their order. Endings do not count: "peeling" finds "peels". Where no row has such words
    those are found that hold them within a word.
    """
    words = typed.casefold().split()
    if not words:
        return list(picks)
    stems = [stem(word) for word in words]
    ranked: list[tuple[int, Pick]] = []
    within: list[Pick] = []
    for pick in picks:
        label = pick.label.casefold()
        text = f"{label} {pick.meaning} {pick.found_by}".casefold()
        if label.startswith(" ".join(words)):
            ranked.append((0, pick))
        elif _begin(label, stems):
            ranked.append((1, pick))
        elif _begin(text, stems):
            ranked.append((2, pick))
        elif all(word in text for word in words):
            within.append(pick)
    ranked.sort(key=lambda entry: entry[0])
    return [pick for _, pick in ranked] or within


def stem(word: str) -> str:
    """Return a word without the ending of a plural or a verb: at least three letters stay."""
    for ending in ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= SHORTEST_STEM:
            return word[: -len(ending)]
    return word


def _begin(text: str, stems: Sequence[str]) -> bool:
    """Return whether each of these begins a word of the text; a sign within a word divides it, too."""
    parts = [*text.split(), *_WORD.findall(text)]
    return all(any(part.startswith(beginning) for part in parts) for beginning in stems)
