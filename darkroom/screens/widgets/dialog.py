"""A screen of its own for a list or a question: the clocks of the bench stand above it, and go on."""

from __future__ import annotations

from abc import abstractmethod

from textual import events
from textual.widget import Widget

from darkroom.bench.view import bench_view
from darkroom.screens.host import HostScreen
from darkroom.screens.widgets.clock_strip import clock_rows
from darkroom.screens.widgets.face import Face
from darkroom.screens.widgets.rows import Row, fill
from darkroom.session.session import Session


class Dialog(HostScreen[str | None]):
    """Gives the text or the id that was chosen, or None. Subclasses draw `rows` and take keys."""

    def __init__(self, plate: str | None = None) -> None:
        """`plate` is the key of the plate that the answer is for, where it is for one."""
        super().__init__()
        self.face = Face()
        self.plate = plate

    @property
    def session(self) -> Session:
        """The session whose key map holds here."""
        return self.tool.session

    @property
    def other_plate(self) -> str:
        """The plate that the answer is for, before the heading while another one is large; else nothing."""
        bench = self.session.bench
        if self.plate is None or self.plate == bench.large or self.plate not in bench.plates:
            return ""
        number = bench.plates[self.plate].number
        return f"Plate {number}: " if number else "New plate: "

    @abstractmethod
    def rows(self, columns: int, rows: int) -> list[Row]:
        """Return at most `rows` rows of any length; they are cut and padded to `columns`."""

    def compose(self) -> list[Widget]:
        """Return the one widget."""
        return [self.face]

    def on_mount(self) -> None:
        """Draw, and follow the clocks."""
        self.draw()

    def on_screen_resume(self) -> None:
        """Draw anew when what stood over this is closed."""
        self.draw()

    def on_resize(self, event: events.Resize) -> None:
        """Draw for the new size."""
        self.draw()

    def draw(self) -> None:
        """Paint clocks and dialog, and again when a clock shows another second."""
        if not self.is_attached:
            return
        columns, rows = self.size.width, self.size.height
        if not columns or not rows:
            return
        self.session.tick()
        self.tool.keep_dark()
        view = bench_view(self.session.bench, self.session.now())
        clocks = clock_rows(view, columns, rows, self.tool.blocks)
        drawn = clocks + [fill(row, columns) for row in self.rows(columns, rows - len(clocks))]
        drawn = drawn[:rows] + [fill([], columns)] * (rows - len(drawn))
        self.face.put(drawn, self.tool.style_of, self.tool.brightness_key)
        self.look_again(self.draw)
