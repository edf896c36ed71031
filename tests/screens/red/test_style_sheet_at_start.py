"""The style sheet of the first theme is read once at a start."""

from __future__ import annotations

import asyncio

import pytest
from textual.css.stylesheet import Stylesheet

from darkroom.screens.red.red_app import RedApp


def test_a_start_reads_the_style_sheet_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is read anew for the first theme; another theme reads it again; both have the right styles."""
    read: list[str] = []
    reparse = Stylesheet.reparse

    def counted(self: Stylesheet) -> None:
        read.append("again")
        reparse(self)

    monkeypatch.setattr(Stylesheet, "reparse", counted)

    async def run() -> None:
        app = RedApp()
        async with app.run_test(size=(60, 20)) as pilot:
            await pilot.pause()
            assert read == []
            first = [str(node.styles.css) for node in (app, app.screen)]
            app.refresh_css(animate=False)
            assert read == ["again"]
            assert first == [str(node.styles.css) for node in (app, app.screen)]
            app.day = True
            await pilot.pause()
            assert read == ["again", "again"]
            assert first != [str(node.styles.css) for node in (app, app.screen)]
            app.day = False
            await pilot.pause()
            assert first == [str(node.styles.css) for node in (app, app.screen)]

    asyncio.run(run())


def test_an_application_that_begins_by_day_has_the_days_styles() -> None:
    """The theme in which the style sheet was made is not the one to be shown: everything is styled anew."""

    async def run() -> None:
        app, red = RedApp(day=True), RedApp()
        async with app.run_test(size=(60, 20)) as pilot:
            await pilot.pause()
            by_day = str(app.screen.styles.css)
        async with red.run_test(size=(60, 20)) as pilot:
            await pilot.pause()
            red.day = True
            await pilot.pause()
            assert by_day == str(red.screen.styles.css)

    asyncio.run(run())
