"""The last plate's "change next time" stands on the home screen before the next plate of that process."""

from __future__ import annotations

from pathlib import Path

from darkroom.bench import events as ev
from darkroom.log.journal import append
from darkroom.screens.home.last_advice import latest_advice
from tests.kit import season
from tests.kit.review_hand import Looker, looking


def _suggest(
    home: Path, path: Path, *, key: str = "next", value: str = "", stops: float | None = None
) -> None:
    if value:
        append.add(
            home,
            path,
            lambda n: ev.Detail(n=n, at="2026-11-01T09:00:00.000+01:00", up=None, key=key, value=value),
        )
    if stops is not None:
        append.add(
            home,
            path,
            lambda n: ev.Rating(n=n, at="2026-11-01T09:00:00.000+01:00", up=None, exposure_stops=stops),
        )


def _of(plates: list[Path], process: str) -> list[Path]:
    return [path for path in plates if f'"name":"{process}"'.encode() in path.read_bytes()]


def test_the_newest_plate_that_says_something_counts(home: Path) -> None:
    """Of each process the newest plate's words are taken, with the stops it asked for."""
    plates = _of(season.write(home, 40, seed=3, days=4), "Tintype")
    _suggest(home, plates[-2], value="warm the developer")
    earlier_advice = latest_advice(home)
    _suggest(home, plates[-1], value="wait for the sun", stops=-0.5)
    assert earlier_advice["Tintype"] != latest_advice(home)["Tintype"]
    assert ": wait for the sun, half a stop less" in latest_advice(home)["Tintype"].text


def test_a_broken_journal_is_passed_over(home: Path) -> None:
    """A journal that tells nothing hides no other plate's words."""
    plates = _of(season.write(home, 40, seed=3, days=4), "Tintype")
    _suggest(home, plates[-2], value="warm the developer")
    plates[-1].write_bytes(b"\xff\x00nothing\n")
    assert "warm" in latest_advice(home)["Tintype"].text


def test_an_empty_log_says_nothing(home: Path) -> None:
    """Before the first plate there is nothing to change."""
    assert latest_advice(home) == {}


def test_it_stands_on_the_home_screen(home: Path) -> None:
    """The words stand there for the process that is chosen, and for no other."""
    plates = _of(season.write(home, 40, seed=3, days=4), "Tintype")
    _suggest(home, plates[-1], value="pour from the other corner")

    async def steps(hand: Looker) -> None:
        await hand.wait("to the bench")
        names = hand.tool.process_names
        seen = False
        for _ in range(len(names)):
            chosen = hand.tool.screen.values["process"]  # type: ignore[attr-defined]
            if chosen == "tintype":
                await hand.wait("pour from the other corner")
                seen = True
            else:
                assert "pour from the other corner" not in hand.text()
            await hand.press("right")
        assert seen

    looking(home, steps, text=None)
