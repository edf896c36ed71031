"""What a crash leaves for the one who starts the application again."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest
from textual.widgets import Static

from darkroom.log.store import paths
from darkroom.screens import crash
from darkroom.screens.red.red_app import RedApp
from tests.kit import odd_files


class _Failing(RedApp):
    def compose(self):  # type: ignore[no-untyped-def]
        """Lay out a line."""
        yield Static("here")

    def key_x(self) -> None:
        """Fail."""
        raise RuntimeError("on purpose")


class _GivingUp(RedApp):
    def on_mount(self) -> None:
        """Give up with words."""
        self.panic("given up")


def _press(key: str) -> tuple[_Failing, BaseException | None]:
    app = _Failing()

    async def run() -> BaseException | None:
        try:
            async with app.run_test() as pilot:
                await pilot.press(key)
        except RuntimeError as error:
            return error
        return None

    return app, asyncio.run(run())


def test_an_exception_is_kept_as_text() -> None:
    """After an exception `crash` is its trace, and the exit status is 1."""
    app, error = _press("x")
    assert error is not None and app.return_code == 1
    assert app.crash is not None and "RuntimeError: on purpose" in app.crash and "key_x" in app.crash


def test_a_panic_is_kept_as_text() -> None:
    """What the application gave up with is kept, without any colour."""
    app = _GivingUp()
    app.run(headless=True)
    assert app.crash is not None and app.crash.strip() == "given up"


@pytest.mark.parametrize("key", ["z"])
def test_without_a_crash_there_is_none(key: str) -> None:
    """An application that went on has no crash to tell."""
    app, error = _press(key)
    assert error is None and app.crash is None


@pytest.mark.parametrize("kind", ["fifo", "device zero", "nowhere", "folder"])
def test_a_crash_is_written_down_whatever_has_the_name_of_its_file(home: Path, kind: str) -> None:
    """A pipe or a link is replaced; where a folder has the name, a spill place takes the text."""
    odd_files.put(kind, home / "crash.txt")
    sentence = crash.kept_in(home, "a trace \udcff")
    place = paths.spill_places()[0] if kind == "folder" else home
    assert sentence == f"What happened is in {place / 'crash.txt'}."
    assert (place / "crash.txt").read_text("utf-8") == "a trace ?"
