"""The driver takes the terminal again after a stop: what it waited for before is not waited for any more."""

from __future__ import annotations

import signal

import pytest
from textual.drivers.linux_driver import LinuxDriver

from darkroom.screens.red import driver as driver_module
from darkroom.screens.red import terminal
from darkroom.screens.red.driver import RedDriver


class NotedOwner:
    """Notes what the driver asks of its application."""

    def __init__(self) -> None:
        self.asked: list[str] = []

    def line_freed(self) -> None:
        """Paint again."""
        self.asked.append("line_freed")

    def set_colours(self) -> None:
        """Set the colours and paint everything."""
        self.asked.append("set_colours")


def test_painting_is_held_back_no_more_after_a_stop(monkeypatch: pytest.MonkeyPatch) -> None:
    """The application that waited for a slow line paints at once: that answer went to another program."""
    driver, owner = object.__new__(RedDriver), NotedOwner()
    vars(driver).update(
        _owner=owner, _writer=object(), _away=True, _going_on=True, attrs_before=None, fileno=0, _file=None
    )
    monkeypatch.setattr(driver_module, "in_background", lambda fd: False)
    monkeypatch.setattr(terminal, "current", lambda: None)
    monkeypatch.setattr(LinuxDriver, "start_application_mode", lambda self: None)
    monkeypatch.setattr(signal, "signal", lambda *_: None)
    driver._go_on()
    assert owner.asked == ["line_freed", "set_colours"]
