"""The screens over the bench by their names: a screen opens another without importing it."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import Any

from darkroom.screens.host import HostScreen, ScreenName

SCREENS: dict[ScreenName, str] = {
    "home": "darkroom.screens.home.screen:HomeScreen",
    "day": "darkroom.screens.day.screen:DayScreen",
    "keys": "darkroom.screens.bench.key_help:KeysScreen",
    "plates": "darkroom.screens.log_list.screen:PlateListScreen",
    "plate": "darkroom.screens.log_plate.screen:PlateScreen",
    "judging": "darkroom.screens.judging.screen:JudgingScreen",
    "comparison": "darkroom.screens.comparison.screen:ComparisonScreen",
    "exposure": "darkroom.screens.exposure.screen:ExposureScreen",
    "trends": "darkroom.screens.trends.screen:TrendsScreen",
    "bottles": "darkroom.screens.bottles.screen:BottlesScreen",
    "bottle": "darkroom.screens.bottles.bottle_screen:BottleScreen",
    "bottle line": "darkroom.screens.bottles.line_screen:LineScreen",
}
"""{name: "module:class"} of every screen over the bench; its module is imported when it is first opened."""


def screen_class(name: ScreenName) -> Callable[..., HostScreen[Any]]:
    """Return the class of the screen of this name; what it is made with differs from screen to screen."""
    module, _, class_name = SCREENS[name].partition(":")
    screen: object = getattr(import_module(module), class_name)
    assert isinstance(screen, type) and issubclass(screen, HostScreen)
    return screen
