"""Times that are estimated after a restart of the machine say so, wherever they stand; exact ones do not."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from msgspec.structs import replace

from darkroom.bench import all_plates
from darkroom.bench import intents as want
from darkroom.bench.view import BenchView, PlateView, bench_view, plate_view
from darkroom.process.model import ExposurePlan
from darkroom.screens.bench.layout import face
from darkroom.screens.bench.rail import BenchStatus
from darkroom.screens.widgets.clock_strip import clock_rows
from darkroom.screens.widgets.plate_summary import DOUBTS, doubt, rail_entry
from darkroom.screens.widgets.rows import Row
from tests.kit.bench import CYANIDE, PROCESS, Hand

SIZES = [(columns, rows) for columns in (40, 48, 60, 80, 120, 200) for rows in (12, 16, 18, 24, 40, 60)]
STAGES = [("sensitise", 100.0), ("exposed", 300.0), ("develop", 280.0), ("fix", 330.0)]
STATUSES = (BenchStatus(), BenchStatus(answer="plate 1, back on the bench: bath"))
EXACT = ("estimated", "at least", "at most")


def _text(rows: list[Row]) -> str:
    return "\n".join("".join(part for part, _ in row) for row in rows)


def _says(text: str, at_least: bool) -> bool:
    """Return whether a form of the doubt stands there whole, over one line or several."""
    return any(all(word in text for word in form.split()) for form in DOUBTS[at_least])


def _views(stage: str, now: float, process: object) -> BenchView:
    hand = Hand(process=process, plan=ExposurePlan(seconds=8.0))
    hand.to_stage(stage)
    return bench_view(hand.bench, now)


def _doubtful(view: PlateView | None, at_least: bool) -> PlateView:
    assert view is not None
    return replace(view, estimated=True, at_least=at_least, number=107)


@pytest.mark.parametrize("at_least", [False, True])
@pytest.mark.parametrize("process", [PROCESS, CYANIDE], ids=["plain", "cyanide"])
@pytest.mark.parametrize(("stage", "now"), STAGES)
def test_the_bench_and_the_strip_of_clocks_say_so_at_every_size(
    stage: str, now: float, process: object, at_least: bool
) -> None:
    """From 40 by 12 to 200 by 60 the bench, and the clocks above a menu, call the times doubtful."""
    view = _views(stage, now, process)
    view = replace(view, large=_doubtful(view.large, at_least))
    for columns, rows in SIZES:
        for status in STATUSES:
            assert _says(_text(face(view, status, columns, rows)), at_least), (columns, rows)
        assert _says(_text(clock_rows(view, columns, rows)), at_least), (columns, rows)


def test_the_longest_form_that_fits_is_shown() -> None:
    """On a wide screen the cause is told; the shortest form stands where no longer one fits."""
    view = _views("fix", 330.0, PROCESS)
    plate = _doubtful(view.large, False)
    assert [doubt(plate, cells) for cells in (80, 31, 30, 15, 14, 2)] == [
        "times estimated after a restart", "times estimated after a restart",
        "times estimated", "times estimated", "estimated", "estimated",
    ]  # fmt: skip
    text = _text(face(replace(view, large=plate), BenchStatus(), 80, 24))
    assert all(word in text for word in DOUBTS[False][0].split())


@pytest.mark.parametrize("columns", [40, 60, 80, 120, 200])
@pytest.mark.parametrize(("stage", "now"), STAGES)
def test_the_rail_says_so_beside_each_plate_it_is_true_of(stage: str, now: float, columns: int) -> None:
    """Of two plates in the rail the doubtful one says so, with its whole time; the exact one does not."""
    view = _views(stage, now, PROCESS)
    exact = view.large
    assert exact is not None
    doubtful = _doubtful(exact, False)
    rows = _text(face(replace(view, rail=(doubtful, exact), rack=12), BenchStatus(), columns, 40))
    assert rows.count("estimated") == 1
    assert not any(word in rail_entry(exact)[0] for word in EXACT)
    plain, marked = rail_entry(exact)[0].split(), rail_entry(doubtful, 30)[0].split()
    assert marked[-2:] == [plain[-1], "estimated"]


def test_a_time_left_is_at_most_and_a_time_gone_by_at_least() -> None:
    """With the wall clock behind, the rail tells which way the time may err."""
    bath, fix = (_views(stage, now, PROCESS).large for stage, now in (STAGES[0], STAGES[3]))
    assert rail_entry(_doubtful(bath, True))[0].endswith("at most ")
    assert rail_entry(_doubtful(fix, True))[0].endswith("at least ")


def _restarted(stage: str, gap: float) -> tuple[Hand, Callable[[], PlateView]]:
    """Return a plate whose machine was started again, and its view half a minute later."""
    hand = Hand(plan=ExposurePlan(seconds=8.0))
    hand.to_stage(stage)
    hand.do(50.0, want.CameBack("p1", gap, "wall", "another start"))
    return hand, lambda: plate_view(hand.plate, 80.0)


def test_only_what_began_before_the_restart_is_estimated() -> None:
    """The bath is; behind it the wet clock still is; from the developer on every time is exact again."""
    hand, view = _restarted("sensitise", 30.0)
    assert (view().estimated, view().at_least) == (True, False)
    hand.go(230.0)
    assert hand.plate.stage.name == "drain" and not plate_view(hand.plate, 240.0).estimated
    hand, view = _restarted("drain", 30.0)
    hand.go(60.0)
    assert view().wet is not None and view().estimated
    hand.go(62.0)
    hand.zero(67.0)
    hand.zero(75.0)
    hand.go(76.0)
    hand.zero(81.0)
    assert plate_view(hand.plate, 82.0).estimated is (plate_view(hand.plate, 82.0).wet is not None)
    hand.go(96.0)
    hand.zero(116.0)
    assert (hand.plate.stage.name, plate_view(hand.plate, 120.0).estimated) == ("fix", False)
    assert hand.plate.estimated and hand.replayed() == hand.plate


def test_a_wall_clock_behind_the_last_line_makes_every_older_time_the_least() -> None:
    """A gap of nothing by the wall clock is "at least"; a later restart with a right clock mends nothing."""
    hand, view = _restarted("sensitise", 0.0)
    assert (view().estimated, view().at_least) == (True, True)
    hand.do(5.0, want.CameBack("p1", 40.0, "wall", "a third start"))
    later = plate_view(hand.plate, 6.0)
    assert (later.estimated, later.at_least) == (True, True)
    assert hand.replayed() == hand.plate


def test_a_return_within_one_start_of_the_machine_is_exact() -> None:
    """The boot clock went on: nothing is estimated."""
    hand = Hand()
    hand.to_stage("sensitise")
    hand.do(50.0, want.CameBack("p1", 20.0, "up", "boot"))
    assert not plate_view(hand.plate, 60.0).estimated


def test_a_new_plate_beside_an_estimated_one_is_exact() -> None:
    """What is put on the bench after the restart says nothing of it."""
    hand, _ = _restarted("fix", 30.0)
    hand.new(90.0)
    view = bench_view(hand.bench, 100.0)
    assert view.large is not None and not view.large.estimated
    assert [plate.estimated for plate in view.rail] == [True]
    assert hand.bench.large == all_plates.NEW
