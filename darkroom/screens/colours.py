"""When the tool is red, when it may be day, how bright it is, and when it shows no light at all."""

from __future__ import annotations

from typing import TYPE_CHECKING

from darkroom.screens.host import Host

if TYPE_CHECKING:
    from darkroom.screens.bench.screen import BenchScreen
    from darkroom.screens.services import Services
    from darkroom.session.session import Session


class Colours(Host):
    """The part of the tool that decides its colours; the bench's light has the last word."""

    services: Services
    session: Session
    bench_screen: BenchScreen
    _daylight = False
    _day_after = False
    """Whether it was day when the blackout began."""

    def day_refused(self) -> str | None:
        """Daylight colours are for a bench that needs no safelight, or a screen that stands in daylight."""
        if self.services.only_look:
            return "another darkroom is at the bench"
        if self._daylight or not self.session.needs_safelight:
            return None
        return "the bench needs the safelight"

    @property
    def stands_in_daylight(self) -> bool:
        """Whether this screen was said to stand in daylight; at each start it is not."""
        return self._daylight

    def set_daylight(self, yes: bool) -> None:
        """Say whether this screen stands in daylight; not while the bench needs the safelight."""
        if not self.session.needs_safelight:
            self._daylight = yes

    def keep_dark(self) -> None:
        """Turn red as soon as the bench needs its safelight."""
        if self.day and self.day_refused() is not None:
            self.day = False

    @property
    def brightness_key(self) -> object:
        """What the present styles depend on."""
        return (self.brightness, self.day)

    def black_out(self) -> None:
        """No light at all until a strike; the clocks and calls go on. The day theme's ground is white."""
        self._day_after = self.day
        self.day = False
        self.bench_screen.blackout = True
        self.session.on_happening("blackout")
        self.to_bench()

    def end_blackout(self) -> None:
        """Show the screen again as it was."""
        self.bench_screen.blackout = False
        self.day = self._day_after

    def change_brightness(self, steps: int) -> None:
        """One step brighter or darker."""
        self.brightness = max(1, self.brightness + steps)
        self.bench_screen.wake()
