"""The pictures of the README, drawn from the real screens: `python -m tests.kit.make_pictures [NAME…]`.

Each is drawn in red and by day, of an invented log, and written to `tests/pictures/`. Nobody in them exists.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from html import unescape
from pathlib import Path

from darkroom.bench import clocks
from darkroom.bench import intents as want
from darkroom.screens.exposure.screen import ExposureScreen
from darkroom.session.plate_form import PlateForm
from tests.kit import fault_season, season
from tests.kit.documents import ROOT
from tests.kit.drawn_screens import NOW, Drawer, draw
from tests.kit.judged_log import put_season
from tests.kit.svg import svg

FOLDER = ROOT / "tests" / "pictures"
KIT = """\
lenses: [{name: brass lens, focal_length: 210 mm}]
places: [{name: garden, latitude: 52.09, longitude: 5.12, time_zone: Europe/Amsterdam}]
"""


@dataclass(frozen=True)
class Picture:
    """A picture: what its log holds, and what is done until the screen shows it."""

    prepare: Callable[[Path], None]
    steps: Callable[[Drawer], Awaitable[None]]
    filter_text: str | None = None


def _nothing(home: Path) -> None:
    """Leave the log empty."""


async def _to_bench(drawer: Drawer) -> None:
    """Bring one plate to its washing, and the next out of the bath: it drains, and its wet time runs."""
    _put_on(drawer, "Jug and pear")
    await drawer.pilot.pause()
    _bring_to(drawer, "wash")
    drawer.pass_time(200)
    _put_on(drawer, "The old weir")
    _bring_to(drawer, "drain")
    drawer.pass_time(12.3)
    await drawer.wait(lambda: not drawer.tool.services.journal_writer.waiting())
    drawer.tool.bench_screen.wake()
    await drawer.pilot.pause()


def _put_on(drawer: Drawer, subject: str) -> None:
    form = PlateForm(
        process="clear-glass", subject=subject, exposure="8 s", humidity="45",
        temperatures={"room": "21", "bath": "19", "developer": "20"},
    )  # fmt: skip
    tool = drawer.tool
    tool.session.put_on(tool.services.plate_from(form, tool.services.processes.read("clear-glass")))
    tool.to_bench()


def _bring_to(drawer: Drawer, stage: str) -> None:
    """Strike until the large plate runs in a stage; what has a time is waited for, the rest takes 20 s."""
    session = drawer.tool.session
    for _ in range(400):
        state = session.bench.shown
        assert state is not None
        if (state.stage.name, state.phase) == (stage, "running"):
            return
        zero = clocks.zero(state) if state.phase in ("running", "lead_in") else None
        if zero is None or zero <= session.now():
            number = drawer.tool.services.next_number()
            session.intend(want.Go(f"20260514-143000-{number:06d}", number))
            drawer.pass_time(20 if state.stage.ends in ("by_eye", "cleared") else 1.5)
        else:
            drawer.pass_time(min(5.0, zero - session.now() + 0.2))
    raise AssertionError(f"never in {stage}")


def _some_plates(home: Path) -> None:
    """Write forty plates of an invented season."""
    season.write(home, 40, seed=5, days=20)


async def _to_plate(drawer: Drawer) -> None:
    """Open the page of the newest plate of the log."""
    newest = max(drawer.tool.services.home.glob("plates/*/*/*.jsonl"), key=lambda path: path.name)
    drawer.tool.open_screen("plate", newest)
    await drawer.wait("j judge")


def _foggy_plates(home: Path) -> None:
    """Write the run in which fog begins with plate 31, up to the last plate with it."""
    for number in range(1, fault_season.LAST_FOG + 1):
        fault_season.shelve_plate(home, number, NOW.replace(day=15, hour=9), {})


async def _to_why(drawer: Drawer) -> None:
    """Open the page of the last foggy plate, and go down to why it failed once that is known."""
    await _to_plate(drawer)
    heading, waiting = "WHY IT FAILED", "looking …"
    await drawer.wait(lambda: waiting not in drawer.text())
    for _ in range(100):
        if drawer.text().splitlines()[1].startswith(heading):
            break
        await drawer.press("down")
    await drawer.wait(lambda: heading in drawer.text() and waiting not in drawer.text())


def _judged_plates(home: Path) -> None:
    """Write seven plates that were judged at one window, and a kit."""
    (home / "kit.yaml").write_text(KIT, encoding="utf-8")
    put_season(home)


async def _to_exposure(drawer: Drawer) -> None:
    """Open the exposure page from the home form, and wait for its answer."""
    drawer.tool.form = PlateForm(
        process="clear-glass", light="north window", ev="9.5", lens="brass lens", aperture="f/5.6",
        place="garden", temperatures={"developer": "20"},
    )  # fmt: skip
    drawer.tool.open_screen("exposure", drawer.tool.form)

    def is_answered() -> bool:
        screen = drawer.tool.screen
        return isinstance(screen, ExposureScreen) and not screen.waiting

    await drawer.wait(is_answered)


PICTURES = {
    "bench": Picture(_nothing, _to_bench),
    "plate": Picture(_some_plates, _to_plate, ""),
    "exposure": Picture(_judged_plates, _to_exposure),
    "why": Picture(_foggy_plates, _to_why, ""),
}
"""{file name without its ending: the picture}; by day `-day` is added to the name."""


def path_of(name: str, *, day: bool) -> Path:
    """Return where a picture lies."""
    return FOLDER / f"{name}{'-day' if day else ''}.svg"


def made(name: str, *, day: bool) -> str:
    """Return a picture as SVG, drawn now."""
    picture = PICTURES[name]
    cells = draw(picture.prepare, picture.steps, day=day, filter_text=picture.filter_text)
    return svg(cells, "ffffff" if day else "000000")


def texts(drawn: str) -> list[str]:
    """Return the texts of a picture, from its upper left to its lower right."""
    return [unescape(text).rstrip() for text in re.findall(r"<text [^>]*>([^<]*)</text>", drawn)]


def colours(drawn: str) -> set[str]:
    """Return the colours of a picture as RRGGBB."""
    return set(re.findall(r'fill="#([0-9a-f]{6})"', drawn))


def main(names: list[str]) -> int:
    """Draw the pictures of these names, all without one."""
    for name in names or PICTURES:
        for day in (False, True):
            path = path_of(name, day=day)
            path.write_text(made(name, day=day), encoding="utf-8")
            print(f"{path.relative_to(ROOT)}: {path.stat().st_size / 1000:.0f} kB")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
