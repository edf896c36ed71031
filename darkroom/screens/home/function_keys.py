"""What the function keys do on the home screen: what they mean on every page of the log."""

from __future__ import annotations

from darkroom.screens.host import Host
from darkroom.screens.widgets.page import (
    BOTTLES_KEY,
    EXPOSURE_KEY,
    LOG_KEY,
    SHEET_KEY,
    THEME_KEY,
    TRENDS_KEY,
    elsewhere,
    open_day_sheet,
    turn_day,
)
from darkroom.session.plate_form import PlateForm


def function_key(tool: Host, key: str, form: PlateForm) -> str:
    """Do what a function key means; return what is to be said, "" for nothing.

    One that works on what stands in the list of plates says so.
    """
    if key == LOG_KEY:
        tool.look_back()
    elif key == SHEET_KEY:
        return open_day_sheet(tool)
    elif key == TRENDS_KEY:
        from darkroom.log.catalogue.query import Query

        tool.open_screen("trends", Query())
    elif key == EXPOSURE_KEY:
        tool.open_screen("exposure", form)
    elif key == BOTTLES_KEY:
        tool.open_screen("bottles")
    elif key == THEME_KEY:
        return turn_day(tool)
    else:
        return elsewhere(key)
    return ""
