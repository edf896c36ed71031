"""Books of several benches, merged in any way: what they tell depends on their lines alone."""

from __future__ import annotations

import random
import shutil
import tempfile
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from darkroom.event_base import Newer
from darkroom.log.bottles import files
from darkroom.log.journal import frame
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import fold
from darkroom.solutions.events import BottleEntry
from tests.kit.bottles import entry, made, time_text

BENCHES = ("a" * 16, "b" * 16, "c" * 16)
KINDS: tuple[tuple[Any, dict[str, Any]], ...] = (
    (ev.Opened, {}),
    (ev.Treated, {"how": "filtered"}),
    (ev.Treated, {"how": "acid"}),
    (ev.Measured, {"what": "volume", "value": 800.0}),
    (ev.ToppedUp, {"volume": 1000.0}),
    (ev.DrawnOff, {"volume": 50.0}),
    (ev.SetAside, {}),
    (ev.TakenUp, {}),
    (ev.Discarded, {}),
    (ev.Note, {"text": "x"}),
)


@st.composite
def lives(draw: st.DrawFn) -> list[BottleEntry]:
    """Draw a bottle's lines of up to three benches, withdrawals of any line among them, at any time."""
    lines = [made(of=BENCHES[0], instant=draw(st.floats(0, 100)))]
    counts = dict.fromkeys(BENCHES, 0) | {BENCHES[0]: 1}
    for _ in range(draw(st.integers(0, 14))):
        bench = draw(st.sampled_from(BENCHES))
        counts[bench] += 1
        instant = draw(st.floats(0, 100))
        if draw(st.booleans()):
            kind, members = draw(st.sampled_from(KINDS))
        else:
            place = f"{draw(st.sampled_from(BENCHES))}:{draw(st.integers(1, 8))}"
            kind, members = ev.Withdrawn, {"corrects": place}
        lines.append(entry(kind, n=counts[bench], of=bench, instant=instant, **members))
    return lines


@given(lives(), st.randoms(use_true_random=False))
def test_order_and_repetition_change_nothing(lines: list[BottleEntry], chance: random.Random) -> None:
    """Lines shuffled, and some of them twice, fold to the same bottle."""
    again = [*lines, *chance.sample(lines, chance.randint(0, len(lines)))]
    chance.shuffle(again)
    assert fold("b1", again) == fold("b1", lines)


@given(lives())
def test_every_line_counts_or_is_withdrawn_once(lines: list[BottleEntry]) -> None:
    """Nothing is lost, and nothing stands twice; what is withdrawn is named by a withdrawal that counts."""
    bottle = fold("b1", lines)
    if bottle is None:
        return
    every = [*bottle.entries, *bottle.withdrawn]
    assert sorted(one.place for one in every) == sorted(one.place for one in lines)
    named = {one.event.corrects for one in bottle.entries if isinstance(one.event, ev.Withdrawn)}
    if not _circles(lines):
        assert {one.place for one in bottle.withdrawn} == {one.place for one in lines if one.place in named}


def _circles(lines: Sequence[BottleEntry]) -> bool:
    """Return whether withdrawals name each other in a circle."""
    names = {one.place: one.event.corrects for one in lines if isinstance(one.event, ev.Withdrawn)}
    for start in names:
        here: str | None = start
        for _ in range(len(names) + 1):
            here = names.get(here or "")
            if here == start:
                return True
    return False


@settings(max_examples=40)
@given(lives(), st.lists(st.sampled_from(range(6)), max_size=5))
def test_folders_merged_in_any_way_tell_the_same(lines: list[BottleEntry], ways: list[int]) -> None:
    """Benches that wrote apart, copied together, over and into each other, tell what one book tells."""
    with tempfile.TemporaryDirectory() as name:
        together, apart = Path(name) / "together", Path(name) / "apart"
        for one in lines:
            for home in (together, apart / one.bench):
                files.append(home, "b1", one.bench, lambda n, one=one: [one.event])  # type: ignore[misc]
        whole = files.read_shelf(together)
        merged = Path(name) / "merged"
        for bench in BENCHES:
            if (apart / bench).exists():
                shutil.copytree(apart / bench, merged, dirs_exist_ok=True)
        for way in ways:
            source = (apart / BENCHES[way % 3], together)[way % 2]
            target = (merged, merged / "bottles", merged / "bottles" / "b1")[way % 3]
            if (source / "bottles").exists() and not (target / "bottles").exists():
                shutil.copytree(source / "bottles", target / "bottles")
        assert files.read_shelf(merged) == whole


def _write(path: Path, line: BottleEntry) -> None:
    assert not isinstance(line.event, Newer)
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("ab") as file:
        file.write(frame.encode(line.event))


def test_writers_at_once_use_no_number_twice(tmp_path: Path) -> None:
    """Commands and the full-screen tool append at the same time: each line has its own number."""

    def append(number: int) -> int:
        def build(n: int) -> list[ev.BottleEvent]:
            return [ev.Note(n=n, at=time_text(1.0), up=None, text=str(number))]

        return files.append(tmp_path, "b1", BENCHES[0], build)[0].n

    with ThreadPoolExecutor(4) as pool:
        numbers = list(pool.map(append, range(40)))
    assert sorted(numbers) == list(range(1, 41))
