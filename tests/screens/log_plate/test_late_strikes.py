"""Strikes that look late, and moving them: a new line, never past the step before or after."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from darkroom.bench import events as ev
from darkroom.bench.fold import apply, fold
from darkroom.bench.intents import Cause
from darkroom.bench.standing import instants, standing
from darkroom.bench.undo import undo
from darkroom.errors import DarkroomError, PlateOnBench, QuantityError, WrongUse
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.export.html_report import report
from darkroom.log.journal import append
from darkroom.log.journal.merge import read_plate
from darkroom.log.plate import moved_strikes
from darkroom.log.plate.account import Account, StageAccount, account
from darkroom.log.plate.late_strikes import late
from darkroom.log.plate.record import read_record
from tests.kit.catalogue import fresh
from tests.kit.exports import worked
from tests.kit.log_commands import Capture, journal, run_log
from tests.kit.plates import PLATE, forgotten, judged, put

AT = "2026-03-03T09:00:00.000+01:00"


def stage(**more: object) -> StageAccount:
    """Return a stage that was ended by a strike."""
    members: dict[str, object] = {
        "stage": "drain",
        "started": None,
        "seconds": 60.0,
        "planned": None,
        "usual": (15.0, 30.0),
        "how": "strike",
        "source": None,
        "celsius": None,
        "origin": None,
        "cleared": None,
        "exposed": None,
        "strips": None,
        **more,
    }
    return StageAccount(**members)  # type: ignore[arg-type]


def late_words(**stage_fields: object) -> list[str]:
    """Return what is said of the strikes of one stage that look late."""
    return [strike.words for strike in late(Account(stages=(stage(**stage_fields),)))]


def test_over_three_times_what_is_usual_looks_late() -> None:
    """At three times the upper end of the range nothing is said; a tenth of a second more looks late."""
    assert late_words(seconds=90.0) == []
    assert late_words(seconds=90.1) == ["looks late: 1:30, usually 0:15 to 0:30"]
    assert late_words(seconds=550.0) == ["looks late: 9:10, usually 0:15 to 0:30"]


@pytest.mark.parametrize("how", ["zero", "told", "short", "skipped"])
def test_only_a_strike_that_ended_a_stage_can_be_late(how: str) -> None:
    """What the clock ended, what was told later, cut short or left out is not called late."""
    assert late_words(seconds=5000.0, how=how) == []


def test_a_planned_time_counts_where_no_range_is_usual() -> None:
    """A stage on time looks late past three times its time, and never while it may still wait."""
    assert late_words(usual=None, planned=200.0, seconds=600.0) == []
    assert late_words(usual=None, planned=200.0, seconds=601.0) == ["looks late: 10:01, planned 3:20"]
    assert late_words(usual=None, planned=20.0, seconds=100.0, patience=120.0) == []
    assert late_words(usual=None, planned=20.0, seconds=141.0, patience=120.0) == [
        "looks late: 2:21, planned 0:20"
    ]
    assert late_words(usual=None, planned=None, seconds=9999.0) == []


def test_a_usual_range_of_fixing_is_of_its_clearing() -> None:
    """A fixer that cleared in time is not late for its second half; a late clearing is told as such."""
    fixing = {"usual": (30.0, 120.0), "planned": 240.0, "cleared": 120.0}
    assert late_words(**fixing, seconds=500.0) == []
    assert late_words(**fixing, seconds=721.0) == ["looks late: 12:01, planned 4:00"]
    assert late_words(usual=(30.0, 120.0), planned=760.0, cleared=380.0, seconds=770.0) == [
        "looks late: cleared 6:20, usually 0:30 to 2:00"
    ]


def test_a_night_on_the_rack_is_no_late_strike(tmp_path: Path) -> None:
    """Of a plate with a forgotten drain and clearing just these look late; twelve hours of drying do not."""
    account_now = account(read_plate(put(tmp_path, forgotten())))
    late_strikes = [(strike.stage, strike.strike, strike.seconds) for strike in late(account_now)]
    assert late_strikes == [("drain", "end", 550.0), ("fix", "cleared", 380.0)]
    (dry,) = [stage for stage in account_now.stages if stage.stage == "dry"]
    assert dry.racked and dry.seconds > 43000


# --- moving ---------------------------------------------------------------------------------------


def move(
    home: Path, path: Path, name: str, seconds: float | None, which: moved_strikes.Which = "end"
) -> ev.Moved:
    """Move a strike of a plate; return the line."""
    (line,) = append.add_all(home, path, moved_strikes.move_builder(path, name, which, seconds, AT, "forgot"))
    return line


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("-8 min", -480.0),
        ("2:30 earlier", -150.0),
        ("+30 s", 30.0),
        ("1 min later", 60.0),
        ("−5s", -5.0),
        ("  - 1:00 ", -60.0),
    ],
)
def test_a_way_says_how_far_and_which_way(text: str, seconds: float) -> None:
    """A sign or a word tells earlier from later."""
    assert moved_strikes.parse_shift(text) == seconds


@pytest.mark.parametrize("text", ["8 min", "", "earlier", "-8 min earlier", "- x", "-8", "a while earlier"])
def test_a_way_that_is_none_is_refused(text: str) -> None:
    """Without a direction, a unit or a time nothing is moved."""
    with pytest.raises((WrongUse, QuantityError)):
        moved_strikes.parse_shift(text)


def test_a_time_alone_is_earlier_where_that_was_asked() -> None:
    """On the page the question is how much earlier."""
    assert moved_strikes.parse_shift("8 min", bare=-1.0) == -480.0


def test_a_moved_strike_counts_earlier_and_its_line_stays(tmp_path: Path) -> None:
    """Drain ends 8 minutes earlier; every line before is byte for byte as it was; nothing else changes."""
    path = put(tmp_path, judged(forgotten()))
    before, old = path.read_bytes(), account(read_plate(path))
    line = move(tmp_path, path, "drain", -480.0)
    assert path.read_bytes().startswith(before)
    assert (line.up, line.seconds, line.reason) == (None, -480.0, "forgot")
    ended = [
        event
        for event in read_plate(path).standing
        if isinstance(event, ev.StageEnded) and event.stage == "drain"
    ]
    assert line.moves == (ended[0].n,)
    account_now = account(read_plate(path))
    assert [stage.seconds for stage in account_now.stages if stage.stage == "drain"] == [70.0]
    assert [stage for stage in account_now.stages if stage.stage != "drain"] == [
        stage for stage in old.stages if stage.stage != "drain"
    ]
    assert [strike.stage for strike in late(account_now)] == ["fix"]
    assert account_now.moments[-1].text.endswith("moved 8 min earlier: forgot")


def test_a_strike_that_began_the_next_stage_moves_with_it(tmp_path: Path) -> None:
    """The end of sensitising and the start of draining are one strike: both move, on the wall clock too."""
    path = put(tmp_path, forgotten())
    line = move(tmp_path, path, "sensitise", -60.0)
    assert len(line.moves) == 2
    stages = {stage.stage: stage for stage in account(read_plate(path)).stages}
    assert (stages["sensitise"].seconds, stages["drain"].seconds) == (150.0, 610.0)
    assert stages["drain"].started == "2026-03-01T00:03:00.000+01:00"
    assert stages["expose"].started == "2026-03-01T00:13:25.000+01:00"


def test_no_strike_passes_its_neighbours(tmp_path: Path) -> None:
    """The way to the step before is open to its last millisecond and no further; so is the way after."""
    path = put(tmp_path, forgotten())
    before = path.read_bytes()
    with pytest.raises(WrongUse, match="can be 9 min 10 s earlier at most: there is the step before it"):
        move(tmp_path, path, "drain", -550.001)
    with pytest.raises(WrongUse, match="can be 10 s later at most: there is the step after it"):
        move(tmp_path, path, "drain", 10.001)
    assert path.read_bytes() == before
    move(tmp_path, path, "drain", -550.0)
    with pytest.raises(WrongUse, match="at most"):
        move(tmp_path, path, "drain", -1.0)
    move(tmp_path, path, "sensitise", -20.0)
    when = instants(read_plate(path).standing)
    steps = [line for line in read_plate(path).standing if isinstance(line, (ev.StageStarted, ev.StageEnded))]
    assert [when[line.n] for line in steps] == sorted(when[line.n] for line in steps)


def test_a_move_is_taken_back_by_a_move(tmp_path: Path) -> None:
    """Moved twice and put back the strike stands where it was struck; a further "back" says that it does."""
    path = put(tmp_path, forgotten())
    first = account(read_plate(path)).stages
    move(tmp_path, path, "fix", -200.0, "cleared")
    move(tmp_path, path, "fix", -100.5, "cleared")
    (moved,) = [one for one in moved_strikes.strikes(read_plate(path).events) if one.which == "cleared"]
    assert moved.moved == -300.5
    assert move(tmp_path, path, "fix", None, "cleared").seconds == 300.5
    assert account(read_plate(path)).stages == first
    with pytest.raises(WrongUse, match="stands where it was struck"):
        move(tmp_path, path, "fix", None, "cleared")


def test_what_no_hand_struck_is_not_moved(tmp_path: Path) -> None:
    """Ends that the clock called, and lead-ins, are named by no strike."""
    found = moved_strikes.strikes(read_plate(put(tmp_path, forgotten())).events)
    names = [(strike.stage, strike.which) for strike in found]
    assert ("coat", "start") in names and ("warm", "start") in names and ("fix", "cleared") in names
    assert not {("expose", "end"), ("stop", "end"), ("develop", "start"), ("varnish", "end")} & set(names)
    with pytest.raises(WrongUse, match="did you mean 'drain'"):
        moved_strikes.chosen(found, "drian", "end")
    with pytest.raises(WrongUse, match="but the clearing of fix and the end of fix"):
        moved_strikes.chosen(found, "fix", "start")


def test_a_plate_on_the_bench_is_moved_there(tmp_path: Path) -> None:
    """While the plate is on the bench its journal is the bench's to write."""
    path = put(tmp_path, forgotten()[:8])
    before = path.read_bytes()
    with pytest.raises(PlateOnBench):
        move(tmp_path, path, "coat", -5.0)
    assert path.read_bytes() == before


def test_nothing_that_tells_no_plate_can_be_moved(tmp_path: Path) -> None:
    """A journal whose first line is lost has no strikes, and says so."""
    path = put(tmp_path, forgotten())
    path.write_bytes(b"".join(path.read_bytes().splitlines(True)[1:]))
    with pytest.raises(DarkroomError, match="no strike of this plate can be moved"):
        move(tmp_path, path, "drain", -5.0)


# --- the bench takes it as its own --------------------------------------------------------------------


def test_the_bench_folds_a_move_written_at_review(tmp_path: Path) -> None:
    """Line by line or all at once, a move without an instant of its own leads to the same state."""
    path = put(tmp_path, judged(forgotten()))
    move(tmp_path, path, "drain", -480.0)
    lines = read_plate(path).events
    state = fold(lines[:1])
    for line in lines[1:]:
        state = apply(state, line)
    assert state == fold(reversed(lines))
    assert {done.stage: done.seconds for done in state.done}["drain"] == 70.0
    assert state.phase == "ended"


def test_a_racked_plate_that_was_moved_goes_on_at_the_bench(tmp_path: Path) -> None:
    """Its last strike was moved at review; undo at the bench takes the strike back and the move with it."""
    path = put(tmp_path, worked()[:24])
    assert read_plate(path).racked
    line = move(tmp_path, path, "wash", -30.0)
    state = fold(read_plate(path).events)
    wash = {done.stage: done.seconds for done in state.done}["wash"]
    assert wash == 1400.0 - 452.0 - 30.0
    lines, refused = undo(state, Cause(AT, 1402.0), developing=False)
    assert refused is None and isinstance(lines[-1], ev.Undone)
    assert {*line.moves, line.n} <= set(lines[-1].undoes)
    after = apply(state, lines[-1])
    assert (after.stage.name, after.phase, after.since) == ("wash", "running", 452.0)
    assert line.n not in {one.n for one in standing(after.lines)}


# --- the command line, the catalogue --------------------------------------------------------------------


def test_log_show_and_move(home: Path, capsys: Capture) -> None:
    """`log show` flags the strike, `log move` moves it, --back puts it back; the catalogue follows."""
    path = put(home, forgotten())
    out = run_log(capsys, "show", "12")[1]
    assert "drain looks late: 9:10, usually 0:15 to 0:30" in out
    shown = json.loads(run_log(capsys, "show", "12", "--json")[1])
    assert [(one["stage"], one["strike"], one["seconds"], one["usual"]) for one in shown["late"]] == [
        ("drain", "end", 550.0, [15.0, 30.0]),
        ("fix", "cleared", 380.0, [30.0, 120.0]),
    ]
    status, _, err = run_log(capsys, "move", "12", "drain", "--by", "-8min", "--reason", "forgot")
    assert (status, journal(path)[-1]["event"]) == (0, "moved")
    assert f"{PLATE}.jsonl: line {journal(path)[-1]['n']}" in err
    assert "drain looks late" not in run_log(capsys, "show", "12")[1]
    with Catalogue(home) as catalogue:
        catalogue.check()
        assert catalogue.content() == fresh(home)
        assert any(row[1:3] == (3, "drain") and 70.0 in row for row in catalogue.content()["stages"])
    assert run_log(capsys, "move", "12", "drain", "--back")[0] == 0
    assert "drain looks late: 9:10" in run_log(capsys, "show", "12")[1]


def test_a_strike_is_moved_through_a_link_in_a_journal_alone(
    home: Path, capsys: Capture, tmp_path: Path
) -> None:
    """Where the journal lies elsewhere and is linked, the line is added there; no other file is written."""
    path = put(home, forgotten())
    away, mine = tmp_path / "away.jsonl", tmp_path / "mine"
    path.rename(away)
    path.symlink_to(away)
    assert run_log(capsys, "move", "12", "drain", "--by", "-8min")[0] == 0
    assert (path.readlink(), journal(away)[-1]["event"]) == (away, "moved")
    mine.write_bytes(b"my own words")
    path.unlink()
    path.symlink_to(mine)
    assert run_log(capsys, "move", PLATE, "drain", "--by", "-8min")[0] in (1, 2)
    assert mine.read_bytes() == b"my own words"


@pytest.mark.parametrize(
    ("more", "phrase"),
    [
        ((), "--by, or --back"),
        (("--by", "-1min", "--back"), "--by, or --back"),
        (("--by", "8min"), "which way"),
        (("--by", "-1h"), "at most"),
        (("--by", "-1s", "--reason", " "), "empty text"),
        (("--by", "-1s", "--strike", "start"), "is no strike that can be moved"),
    ],
)
def test_a_wrong_move_is_refused(home: Path, capsys: Capture, more: tuple[str, ...], phrase: str) -> None:
    """Exit status 2, the reason, and not a byte is written."""
    path = put(home, forgotten())
    before = path.read_bytes()
    status, _, err = run_log(capsys, "move", "12", "drain", *more)
    assert (status, phrase in err) == (2, True), err
    assert path.read_bytes() == before


def test_the_report_flags_the_same_strikes(tmp_path: Path) -> None:
    """The HTML report says of the stage what the page and the command line say."""
    page = b"".join(report([read_record(put(tmp_path, forgotten()))], "one plate")).decode()
    assert "9:10, looks late: 9:10, usually 0:15 to 0:30" in page
    assert page.count("looks late") == 2
