"""Which bottles a plate used, from its journal."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench.bottles import Bottle, bottle_at, bottles_at
from darkroom.bench.fold import fold
from darkroom.bench.standing import standing
from darkroom.log.journal.merge import PlateLog, read_plate
from darkroom.log.plate.account import folded
from darkroom.log.plate.bottle_uses import bottle_uses
from darkroom.process.uses import roles
from darkroom.solutions.plate_use import PlateUse
from tests.kit.bench import Hand
from tests.kit.journals import PLATE
from tests.kit.plate_snapshot import FIXTURES, not_the_same_bytes
from tests.kit.plates import put

IDS = {"collodion": "c1", "bath": "b1", "developer": "d1", "fixer": "f1", "varnish": "v1"}
NAMES = {"collodion": "C-4", "bath": "B-1", "developer": "D-7", "fixer": "F-2", "varnish": "V-1"}


def hand(**members: Any) -> Hand:
    """Return a hand whose plates take the bottles of IDS unless `members` say otherwise."""
    return Hand(**{"bottle_ids": IDS, "bottles": NAMES, "size": "18 x 24 cm", **members})


def with_change(lines: list[ev.AnyEvent], stage: str, **change: Any) -> list[ev.AnyEvent]:
    """Return lines whose start of a stage says that other bottles were chosen."""
    return [
        msgspec.structs.replace(line, **change)
        if isinstance(line, ev.StageStarted) and line.stage == stage
        else line
        for line in lines
    ]


def used(home: Path, lines: Sequence[ev.AnyEvent]) -> list[PlateUse]:
    """Return what a plate with these lines used."""
    first = lines[0]
    assert isinstance(first, ev.PlateStarted)
    log = read_plate(put(home, [msgspec.structs.replace(first, plate=PLATE), *lines[1:]]))
    return list(bottle_uses(log, folded(log).state))


def by_role(uses: list[PlateUse]) -> dict[str, str | None]:
    """Return {role: bottle id}."""
    return {use.role: use.bottle for use in uses}


def test_a_plate_used_what_its_stages_that_began_use(home: Path) -> None:
    """Washed, it used collodion, bath, developer and fixer; the varnish it has not had yet."""
    bench = hand()
    bench.to_stage("wash")
    uses = used(home, bench.lines["p1"])
    assert by_role(uses) == {"collodion": "c1", "bath": "b1", "developer": "d1", "fixer": "f1"}
    fixer = uses[-1]
    assert (fixer.stage, fixer.name, fixer.seconds, fixer.cleared) == ("fix", "F-2", 80.0, 40.0)
    assert (fixer.size, fixer.area) == ("18 x 24 cm", pytest.approx(432.0))
    assert [use.instant for use in uses] == sorted(use.instant for use in uses)


def test_a_stage_counts_from_its_start(home: Path) -> None:
    """In the bath the plate has used it, and how long is not known yet."""
    bench = hand()
    bench.to_stage("sensitise")
    uses = used(home, bench.lines["p1"])
    assert [(use.role, use.seconds) for use in uses] == [("collodion", 20.0), ("bath", None)]


def test_a_start_that_was_taken_back_does_not_count(home: Path) -> None:
    """The plate never went into the bath: the press was a slip."""
    bench = hand()
    bench.to_stage("sensitise")
    bench.do(32.0, want.Undo())
    assert by_role(used(home, bench.lines["p1"])) == {"collodion": "c1"}


def test_an_abandoned_plate_counts_and_a_rehearsal_never_does(home: Path) -> None:
    """Silver was carried out of the bath whatever became of the plate; in a rehearsal nothing was."""
    for stage in ("sensitise", "drain"):
        bench = hand()
        bench.to_stage(stage)
        bench.do(250.0, want.Abandon("broken"))
        assert set(by_role(used(home, bench.lines["p1"]))) == {"collodion", "bath"}
    at_once = hand()
    at_once.to_stage("coat")
    at_once.do(12.0, want.Abandon("dust"))
    assert set(by_role(used(home, at_once.lines["p1"]))) == {"collodion"}
    practice = hand(rehearsal=True)
    practice.to_stage("wash")
    assert used(home, practice.lines["p1"]) == []


def test_bottles_chosen_since_hold_from_their_stage_on(home: Path) -> None:
    """At noon a new developer and a new fixer stand there; the collodion is the one that was poured."""
    bench = hand()
    bench.to_stage("wash")
    change = {"developer": "d2", "fixer": "f2", "collodion": "c9"}
    lines = with_change(bench.lines["p1"], "develop", bottle_ids=change, bottles={"fixer": "F-3"})
    uses = used(home, lines)
    assert by_role(uses) == {"collodion": "c1", "bath": "b1", "developer": "d2", "fixer": "f2"}
    assert [use.name for use in uses] == ["C-4", "B-1", None, "F-3"]


def test_the_varnish_is_the_one_chosen_at_the_rack(home: Path) -> None:
    """A plate that began without a varnish has the one that its stage names; one left out used none."""
    bench = hand(bottle_ids={}, bottles={"collodion": "C-4"})
    bench.to_stage("wash")
    bench.go(1300.0, 1310.0)
    bench.do(3000.0, want.FromRack("p1"))
    bench.go(3020.0, 3070.0, 3100.0)
    lines = bench.lines["p1"]
    assert by_role(used(home, lines)) == {"collodion": None}
    with_varnish = with_change(lines, "varnish", bottle_ids={"varnish": "v2"})
    assert by_role(used(home, with_varnish)) == {"collodion": None, "varnish": "v2"}


def test_a_plate_that_names_no_bottle_used_none_that_is_known(home: Path) -> None:
    """Nothing is guessed where nobody named a bottle."""
    bench = hand(bottle_ids=None, bottles=None)
    bench.to_stage("wash")
    assert used(home, bench.lines["p1"]) == []


def test_two_stages_may_use_one_bottle(home: Path) -> None:
    """Each stage is told; counting the plate once is the tally's."""
    bench = hand()
    process = bench_process_with_fixer_again(bench)
    again = hand(process=process)
    again.to_stage("wash")
    assert [use.stage for use in used(home, again.lines["p1"]) if use.bottle == "f1"] == ["fix", "wash"]


def bench_process_with_fixer_again(bench: Hand) -> dict[str, Any]:
    """Return the trial process with a wash that is a second time in the fixer."""
    bench.new(0.0)
    process = dict(bench.plate.start.process)
    process["stages"] = [
        {**stage, "uses": "fixer"} if stage["name"] == "wash" else stage for stage in process["stages"]
    ]
    return process


def test_what_the_plate_takes_now_is_asked_of_the_bench() -> None:
    """A change holds from its stage on, before it the bottles of the start do."""
    bench = hand(bottle_ids={"Fixer ": "f1"}, bottles={"collodion": " C-4 ", "bath": ""})
    bench.to_stage("develop")
    state = bench.plate
    assert bottles_at(state) == {"collodion": Bottle(name="C-4"), "fixer": Bottle(id="f1")}
    assert bottle_at(state, "bath") is None


def test_a_journal_with_changed_bottles_tells_what_it_told_when_written() -> None:
    """The uses of a kept journal are those that were kept with it, member by member."""
    folder = FIXTURES / "bottle_uses"
    told = json.loads((folder / "told.json").read_text(encoding="utf-8"))
    (path,) = folder.rglob("*.jsonl")
    log = read_plate(path)
    assert log.problems == () and set(not_the_same_bytes(log)) <= {1}  # a start may get new members
    now = msgspec.to_builtins(bottle_uses(log, folded(log).state))
    assert [{key: use[key] for key in before} for use, before in zip(now, told, strict=True)] == told


STEPS = st.lists(st.sampled_from(("go", "undo", "skip", "zero", "abandon")), max_size=40)


@given(STEPS)
def test_whatever_a_hand_does_a_stage_counts_once_where_its_start_stands(steps: list[str]) -> None:
    """Under any presses the uses are the stages whose start no standing undo takes back, each once."""
    bench, now = hand(), 0.0
    bench.new(now)
    for step in steps:
        now += 31.0
        match step:
            case "go":
                bench.go(now)
            case "undo":
                bench.do(now, want.Undo())
            case "skip":
                bench.do(now, want.Skip())
            case "zero":
                if bench.bench.large is not None:
                    bench.zero(now)
            case _ if steps.index(step) > 5:
                bench.do(now, want.Abandon("dust"))
    lines = bench.lines.get("p1", [])
    if not lines:
        return
    stands = standing(lines)
    started = {line.stage for line in stands if isinstance(line, ev.StageStarted)}
    log = PlateLog(
        plate="p1",
        files=(Path("p1.jsonl"),),
        events=tuple(lines),
        problems=(),
        schema=1,
        local_date="2026-03-01",
        journal_files=(),
        frames={},
    )
    uses = bottle_uses(log, fold(lines))
    known = roles(fold(lines).process)
    assert [use.stage for use in uses] == [stage for stage in known if stage in started]
    assert len({use.stage for use in uses}) == len(uses)
