"""The style sheet that reads what it uses, against the toolkit's own; and that a start reads it once."""

from __future__ import annotations

import asyncio

import pytest
from textual.app import App
from textual.css.stylesheet import Stylesheet
from textual.css.tokenize import tokenize_values
from textual.screen import Screen
from textual.widget import Widget

from darkroom.screens.lean_toolkit.style_sheet import LateTokens, LeanStylesheet
from darkroom.screens.red.red_app import RedApp

SOURCES = {"app": App.DEFAULT_CSS, "screen": Screen.DEFAULT_CSS, "widget": Widget.DEFAULT_CSS}
NEW_VARIABLES = "$mine: $text;\n$own: 3;\nWidget { color: $mine; margin: $own; }"


def _filled(sheet: Stylesheet, sources: dict[str, str]) -> Stylesheet:
    for name, css in sources.items():
        sheet.add_source(css, read_from=(name, "test"), is_default_css=True)
    sheet.parse()
    return sheet


@pytest.mark.parametrize("theme", [*(f"red-{brightness}" for brightness in range(6)), "day"])
def test_the_rules_are_those_of_the_toolkits_style_sheet(theme: str) -> None:
    """In each theme all rules are the same, those with variables of their own too."""
    app = RedApp()
    app.set_reactive(RedApp.theme, theme)
    variables = app.get_css_variables()
    sources = {**SOURCES, "new": NEW_VARIABLES}
    assert (
        _filled(LeanStylesheet(variables=variables), sources).css
        == _filled(Stylesheet(variables=variables), sources).css
    )


def test_other_variables_are_taken() -> None:
    """After another theme's variables are set the rules have its colours."""
    sheet = _filled(LeanStylesheet(variables={"text": "#af0000"}), {"a": "Widget { color: $text; }"})
    assert "#AF0000" in sheet.css
    sheet.set_variables({"text": "#5f0000"})
    sheet.reparse()
    assert "#5F0000" in sheet.css and "#AF0000" not in sheet.css


def test_an_unknown_variable_is_told_as_by_the_toolkit() -> None:
    """A rule with a variable that nobody has is refused with the toolkit's own error."""
    told = []
    for kind in (Stylesheet, LeanStylesheet):
        with pytest.raises(Exception) as error:
            _filled(kind(variables={"text": "red"}), {"a": "Widget { color: $next; }"})
        told.append((type(error.value), str(error.value)))
    assert told[0] == told[1]


def test_late_tokens_are_the_toolkits_tokens() -> None:
    """Each way to ask for the tokens of a variable gives what the toolkit makes of its text."""
    values = {"text": "#af0000", "border": "solid $text 50%"}
    expected, late = tokenize_values(values), LateTokens(values)
    assert expected["text"] == late["text"] == late.copy()["text"] == late.get("text")
    assert expected["border"] == late.setdefault("border", [])
    assert late.get("other", 1) == 1 and late.setdefault("other", []) == [] and "other" in late


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
