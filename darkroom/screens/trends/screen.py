"""What many plates show together: one plot to a page, worked out behind the screen."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING

from darkroom.log.catalogue.query import Query
from darkroom.process.text.plain_text import plain
from darkroom.screens.widgets.page import Page
from darkroom.screens.widgets.rows import Row, clip, fill, width

if TYPE_CHECKING:
    from darkroom.log.trends.figures import Picture, Subject
    from darkroom.log.trends.speed_lacks import SpeedLacks
    from darkroom.log.trends.trends import Trends

PATIENCE = 0.2
"""How often a reading of the whole log is looked after, in seconds."""
NARROW = 60
"""A heading of fewer cells tells the number alone."""
MOST_WORDS = 4
"""The words below a plot take at most so many rows."""


def page(picture: Picture, columns: int, rows: int, simple: bool = False) -> list[Row]:
    """Return at most `rows` rows: the plot, and below it what is said of it; words alone where none fits.

    `simple` is for a terminal without signs for drawing.
    """
    from darkroom.log.trends import text_plot

    sentences = wrapped([plain(sentence) for sentence in picture.says], columns)
    if not text_plot.fits(columns, rows - 1):
        titles = plain(picture.title), plain(picture.about)
        text_rows = [*titles, *sentences, "", "too small a screen for the plot"]
        return [[(clip(row, columns), "text")] for row in text_rows][:rows]
    sentences = sentences[: max(1, min(MOST_WORDS, rows // 5))]
    plot_rows = text_plot.plot(picture, columns, rows - len(sentences), simple)
    return [
        *([(row, "text")] for row in plot_rows),
        *([(row, "loud" if not n else "text")] for n, row in enumerate(sentences)),
    ][:rows]


def wrapped(sentences: list[str], columns: int) -> list[str]:
    """Return sayings one after another, those that fit in a row together."""
    rows: list[str] = []
    for sentence in sentences:
        if rows and width(rows[-1]) + 3 + width(sentence) <= columns:
            rows[-1] += "   " + sentence
        else:
            rows.append(sentence)
    return [clip(row, columns) for row in rows]


class TrendsScreen(Page):
    """The trends of the plates that answer `query`."""

    def __init__(self, query: Query) -> None:
        super().__init__()
        self.question = query
        self.subjects: list[Subject] | None = None
        self.place = 0
        self.trouble = ""
        self.looked_at = ""
        self.lacks: SpeedLacks | None = None
        self._gone = threading.Event()
        self._page_rows: tuple[object, list[Row]] = (None, [])
        self._picture: tuple[int, Picture] | None = None

    # --- behind the screen -------------------------------------------------------------------------

    def on_mount(self) -> None:
        """Begin to read; the toolkit calls the one of every page too."""
        tool = self.tool
        work = threading.Thread(
            target=self._run, args=(tool.services.home, tool.from_thread), name="log trends", daemon=True
        )
        work.start()

    def on_unmount(self) -> None:
        """What is still read is of no use any more."""
        self._gone.set()

    def _run(self, home: Path, deliver: Callable[[Callable[[], None]], None]) -> None:
        """Say what went wrong: a log that cannot be looked at is never taken for one without trends."""
        try:
            result = self._read(home)
        except Exception as error:
            text = f"the log cannot be looked at: {plain(str(error))}"
            deliver(lambda: self._troubled(text))
            return
        if result is not None and not self._gone.is_set():
            deliver(lambda: self._answered(*result))

    def _read(self, home: Path) -> tuple[Trends, SpeedLacks | None] | None:
        """Return the trends and what one of speed lacks; None when nobody waits for them any more."""
        import plotext  # type: ignore[import-untyped]  # noqa: F401  # loaded here, not while a key waits

        from darkroom.log.catalogue import worker
        from darkroom.log.catalogue.catalogue import Catalogue
        from darkroom.log.trends.reading import trend_rows
        from darkroom.log.trends.speed_lacks import speed_lacks
        from darkroom.log.trends.trends import trends
        from darkroom.resources import fault_catalogue

        known = fault_catalogue(home)[0]
        with Catalogue(home) as catalogue:
            if catalogue.path is None or catalogue.whole:
                catalogue.check()  # a hint of what changed may be lost with a tool that was killed
            else:
                with worker.running(home) as program:
                    while program.poll() is None:
                        if self._gone.wait(PATIENCE):
                            return None
                if not catalogue.whole:  # it came to nothing: half a log is never told for all of it
                    catalogue.check()
            facts = trend_rows(catalogue, self.question)
        return None if self._gone.is_set() else (trends(facts, known=known), speed_lacks(facts.judged))

    def _answered(self, result: Trends, lacks: SpeedLacks | None) -> None:
        from darkroom.log.trends.figures import subjects
        from darkroom.log.trends.trend_text import looked_at

        self.subjects = [*subjects(result)]
        if lacks is not None and self.subjects:
            self.subjects.append(lacks)
        self.lacks = lacks
        self.looked_at = looked_at(result.stars)
        self.draw()

    def _troubled(self, text: str) -> None:
        self.trouble = text
        self.draw()

    # --- keys ------------------------------------------------------------------------------------

    def pressed(self, key: str, character: str | None) -> bool:
        """Go through the trends; the last is followed by the first."""
        steps = {"left": -1, "up": -1, "right": 1, "down": 1, "space": 1}
        number = len(self.subjects or ())
        if key in steps:
            self.place = (self.place + steps[key]) % max(1, number)
        elif key in ("pageup", "pagedown"):
            from darkroom.log.trends.figures import next_kind

            if self.subjects:
                self.place = next_kind(self.subjects, self.place, 1 if key == "pagedown" else -1)
        elif key in ("home", "end"):
            self.place = 0 if key == "home" else max(0, number - 1)
        else:
            return False
        return True

    def keys(self) -> list[tuple[str, str]]:
        """Going through them."""
        return [("left right", "another trend"), ("page down", "another kind")]

    # --- drawing -----------------------------------------------------------------------------------

    def heading(self) -> tuple[str, str]:
        """Which trend, of what."""
        if self.trouble or self.subjects is None:
            return "TRENDS", "" if self.trouble else "reading the log …"
        if not self.subjects:
            return "TRENDS", "none yet"
        picture, number = self._current_picture(), f"{self.place + 1} of {len(self.subjects)}"
        if self.size.width < NARROW:
            return f"TRENDS  {number}", ""
        if picture is None:
            return f"{number}   speed of the plates", "what is missing for a trend"
        return f"{number}   {plain(picture.title)}", plain(picture.about)

    def _current_picture(self) -> Picture | None:
        """Return the trend in sight as a picture; None for what is missing for one."""
        from darkroom.log.trends.figures import picture
        from darkroom.log.trends.speed_lacks import SpeedLacks

        assert self.subjects
        subject = self.subjects[self.place]
        if isinstance(subject, SpeedLacks):
            return None
        if self._picture is None or self._picture[0] != self.place:
            self._picture = self.place, picture(subject)
        return self._picture[1]

    def body(self, columns: int, rows: int) -> list[Row]:
        """The plot; drawn anew only for another trend or size."""
        if self.trouble:
            return [[], [(f" {self.trouble}", "loud")]]
        if self.subjects is None:
            return []
        if not self.subjects:
            return [[], *_none(self.looked_at, self.lacks, columns)]
        drawn = self._current_picture()
        if drawn is None:
            return [[], *lacks_rows(self.lacks, columns)]
        key = (self.place, columns, rows)
        if self._page_rows[0] != key:
            simple = self.tool.blocks == "spaces"
            page_rows = page(drawn, columns, rows, simple)
            self._page_rows = key, [fill(row, columns) for row in page_rows]
        return self._page_rows[1]


def lacks_rows(lacks: SpeedLacks | None, columns: int) -> list[Row]:
    """Return what a trend of speed lacks, a sentence to a row or more."""
    sentences = () if lacks is None else lacks.says
    return [[(f" {line}", "text")] for text in sentences for line in wrap(plain(text), max(8, columns - 1))]


def _none(looked_at: str, lacks: SpeedLacks | None, columns: int) -> list[Row]:
    sentences = [
        "No plate of these tells anything yet:",
        "a time shows with a strike that ended its stage and a",
        "temperature that was read; stars and faults with plates that were judged.",
    ]
    return [[(clip(f" {row}", columns), "text")] for row in (*sentences, "", looked_at, "")] + lacks_rows(
        lacks, columns
    )
