"""An application on our base that tries to show other colours: the red tests run it in a terminal.

python demo_app.py [day]
"""

from __future__ import annotations

import sys

from darkroom.screens.red.terminal import prepare_environment, red_terminal

prepare_environment()

from rich.style import Style  # noqa: E402
from rich.text import Text  # noqa: E402
from textual import events  # noqa: E402
from textual.containers import Vertical  # noqa: E402
from textual.screen import ModalScreen  # noqa: E402
from textual.strip import Strip  # noqa: E402
from textual.widget import Widget  # noqa: E402
from textual.widgets import Button, DataTable, Input, OptionList, Static  # noqa: E402

from darkroom.screens.lettering import lettering  # noqa: E402
from darkroom.screens.red.red_app import RedApp  # noqa: E402
from darkroom.screens.red.terminal import capabilities  # noqa: E402


class Blank(Widget):
    """A widget that the toolkit paints past every filter."""

    BLANK = True
    DEFAULT_CSS = "Blank { height: 1; background: white; color: blue; }"


class Bare(Widget):
    """Lines without any style."""

    DEFAULT_CSS = "Bare { height: 2; }"

    def render_line(self, y: int) -> Strip:
        """Return text with no style, or with a stray one."""
        from rich.segment import Segment

        if y:
            return Strip([Segment("faint", Style(dim=True, italic=True, color="green", reverse=True))])
        return Strip([Segment("no style at all")])


class Large(Widget):
    """Large letters by meaning."""

    DEFAULT_CSS = "Large { height: 5; }"

    def render_line(self, y: int) -> Strip:
        """Return a row of them."""
        from rich.segment import Segment

        app = self.app
        assert isinstance(app, RedApp)
        rows = lettering.rows("12:34", self.size.width, 5, blocks=capabilities().blocks)
        return Strip([Segment(text, app.style_of(meaning)) for text, meaning in rows[y]])


class Box(ModalScreen[None]):
    """A dialog over the screen."""

    CSS = "Box { align: center middle; } Box Vertical { width: 40; height: 8; border: thick $primary; }"

    def compose(self):  # type: ignore[no-untyped-def]
        """Lay out the dialog."""
        with Vertical():
            yield Static("[bold cyan]a dialog[/] [on yellow]with colours[/]")
            yield Button("A button", variant="success")


class Demo(RedApp):
    """Everything that could leak; each letter does one thing."""

    TOASTS_AND_TOOLTIPS = True
    CSS = "DataTable { height: 4; } OptionList { height: 4; } Input { height: 3; }"

    def compose(self):  # type: ignore[no-untyped-def]
        """Lay out widgets that ask for colours."""
        yield Static("[green]green[/] [white on blue]white on blue[/] [#00ff88]mint[/] plain [dim]dim[/]")
        yield Static(Text("emoji \U0001f4f7 \u26a1 \u2705 done"))
        yield Static("[link='https://example.invalid']a link[/link] [@click=app.bell]an action[/]")
        yield Blank()
        yield Bare()
        yield Large()
        yield OptionList("first", "second", "third")
        table: DataTable[str] = DataTable()
        table.add_columns("one", "two")
        table.add_row("1", "[red]2[/]")
        yield table
        yield Input("typed text")
        yield Static("READY", id="state")

    def on_key(self, event: events.Key) -> None:
        """Do what the letter says."""
        match event.key:
            case "f5":
                self.notify("[b green]a toast[/]", title="told", severity="warning", timeout=30)
            case "f6":
                self.push_screen(Box())
            case "f7":
                raise RuntimeError("a crash on purpose \u26a1")
            case "f8":
                self.stylesheet.add_source("Static { colour: none of it")
                self.refresh_css()
            case "f9":
                self.brightness += 1
                self.query_one("#state", Static).update(f"BRIGHTNESS {self.brightness}")
            case "f10":
                self.exit()
            case "f11":
                self.day = not self.day
                self.query_one("#state", Static).update("BY DAY" if self.day else "BY RED")
            case "f12":
                self.brightness = 0


if __name__ == "__main__":
    app = Demo()
    with red_terminal():
        app.run()
    sys.exit(app.return_code or 0)
