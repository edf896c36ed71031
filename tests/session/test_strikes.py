"""Key events with given time stamps through the strike recogniser."""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from darkroom.session.key_map import NUDGES, KeyMap
from darkroom.session.strikes import Dead, HeldLong, Recogniser, Strike, Verdict, Void
from tests.kit.bursts import DEAD, KINDS, LIVE
from tests.kit.nightly import examples

ZONE_OF = KeyMap().zone_of


def run(keys: Iterable[tuple[float, str]], start: float = 100.0) -> list[Verdict]:
    """Return every verdict on the keys, the recogniser asked at each instant it named."""
    recogniser = Recogniser(ZONE_OF, NUDGES)
    verdicts: list[Verdict] = []
    for seconds, name in keys:
        due = recogniser.next_due()
        if due is not None and due <= start + seconds:
            verdicts += recogniser.due(due)
        verdicts += recogniser.key(name, start + seconds)
    while (due := recogniser.next_due()) is not None:
        verdicts += recogniser.due(due)
    return verdicts


def strikes(keys: Iterable[tuple[float, str]]) -> list[tuple[str, float]]:
    """Return the strikes as (zone, seconds since the start)."""
    return [(v.zone, round(v.up - 100.0, 6)) for v in run(keys) if isinstance(v, Strike)]


@pytest.mark.parametrize("kind", KINDS)
def test_generated_bursts(kind: str) -> None:
    """Of 125 bursts of each kind (1,000 in all) each strikes what was meant: never twice, never unasked."""
    rng = random.Random(f"burst {kind}")
    for _ in range(125):
        burst = KINDS[kind](rng)
        zones = [v.zone for v in run(burst.keys) if isinstance(v, Strike)]
        assert burst.strikes == zones, burst


KEYS = st.lists(st.tuples(st.floats(0, 0.9), st.sampled_from(LIVE + DEAD + ["up", "escape"])), max_size=60)
"""Keys, each so many seconds after the last."""


@given(KEYS, st.lists(st.floats(0.001, 2.0), min_size=1, max_size=60))
@settings(max_examples=examples(400))
def test_a_busy_program_understands_the_same_keys(gaps: list[tuple[float, str]], pauses: list[float]) -> None:
    """Taken late and several at once, as they have come between two looks, keys mean the same."""
    seconds, keys = 0.0, []
    for gap, name in gaps:
        seconds += gap
        keys.append((seconds, name))
    recogniser, now, late, waiting = Recogniser(ZONE_OF, NUDGES), 100.0, [], [*keys]
    for number in itertools.count():
        now += pauses[number % len(pauses)]
        while waiting and 100.0 + waiting[0][0] <= now:
            arrived, name = waiting.pop(0)
            late += recogniser.key(name, 100.0 + arrived, now)
        late += recogniser.due(now)
        if not waiting and recogniser.next_due() is None:
            break
    assert late == run(keys)


def test_two_strikes_that_are_taken_together_are_two() -> None:
    """A program that was busy for a second takes two presses of one key, 0.8 s apart: both count, in time."""
    recogniser = Recogniser(ZONE_OF)
    verdicts = [*recogniser.key("space", 100.0, 101.0), *recogniser.key("space", 100.8, 101.0)]
    verdicts += recogniser.due(101.06)
    assert [verdict.up for verdict in verdicts if isinstance(verdict, Strike)] == [100.0, 100.8]


def test_two_hands_full_of_keys_that_are_taken_together_are_void() -> None:
    """Keys of two zones that arrived 10 ms apart are void also when they are taken half a second late."""
    recogniser = Recogniser(ZONE_OF)
    verdicts = recogniser.key("space", 100.0, 100.5)
    verdicts += recogniser.due(100.5)
    verdicts += recogniser.key("6", 100.01, 100.501)
    verdicts += recogniser.due(100.57)
    assert [type(verdict) for verdict in verdicts] == [Void]


@given(KEYS)
@settings(max_examples=examples(400))
def test_laws_for_any_keys(gaps: list[tuple[float, str]]) -> None:
    """Whatever comes: a strike bears the time of a key of its zone, and two of one zone are a run apart."""
    seconds, keys = 0.0, []
    for gap, name in gaps:
        seconds += gap
        keys.append((seconds, name))
    last: dict[str, float] = {}
    for verdict in run(keys):
        if isinstance(verdict, Strike):
            assert any(ZONE_OF(n) == verdict.zone and 100.0 + t == verdict.up for t, n in keys)
            assert not any(
                ZONE_OF(n) == verdict.zone and 1e-9 < verdict.up - 100.0 - t < 0.149 for t, n in keys
            )
            if verdict.zone in last and verdict.zone not in NUDGES:
                assert verdict.up - last[verdict.zone] >= 0.7 - 1e-9
            last[verdict.zone] = verdict.up


@given(st.lists(st.tuples(st.floats(0, 0.3), st.sampled_from(LIVE + DEAD)), max_size=40), st.integers(1, 5))
@settings(max_examples=examples(200))
def test_asking_often_changes_nothing(gaps: list[tuple[float, str]], times: int) -> None:
    """However often `due` is asked in between, the verdicts are the same."""
    seconds, keys = 0.0, []
    for gap, name in gaps:
        seconds += gap
        keys.append((seconds, name))
    often = Recogniser(ZONE_OF, NUDGES)
    verdicts: list[Verdict] = []
    now = 0.0
    for key_time, name in [*keys, (seconds + 9.0, "")]:
        for step in range(1, times + 1):
            verdicts += often.due(100.0 + now + (key_time - now) * step / times - 1e-12)
        if name:
            verdicts += often.key(name, 100.0 + key_time)
        now = key_time
    assert run(keys) == verdicts


def test_a_strike_has_the_time_of_its_first_key_and_waits_for_the_handful() -> None:
    """Nothing is decided before 60 ms; then the strike bears its first key's time and names its handful."""
    recogniser = Recogniser(ZONE_OF, NUDGES)
    assert recogniser.key("x", 10.0) == []
    assert recogniser.next_due() == 10.06
    assert [] == recogniser.key("c", 10.02) == recogniser.due(10.059)
    assert [Strike("go", 10.0, ("x", "c"))] == recogniser.due(10.06)
    assert recogniser.next_due() is None


def test_the_run_slides() -> None:
    """Events 0.69 s apart are one strike however long they go on; after 0.7 s of nothing a new one begins."""
    assert strikes([(0.69 * n, "x" if n % 2 else "space") for n in range(9)]) == [("go", 0.0)]
    assert strikes([(0.0, "x"), (0.7, "x")]) == [("go", 0.0), ("go", 0.7)]


def test_whatever_comes_between() -> None:
    """A key of another zone does not end a run: the bounce after it is still the same strike."""
    assert strikes([(0.0, "x"), (0.3, "backspace"), (0.6, "x")]) == [("go", 0.0), ("undo", 0.3)]


def test_go_and_undo_soon_after_both_act() -> None:
    """Undo 0.4 s after a strike is taken."""
    assert strikes([(0.0, "space"), (0.4, "backspace")]) == [("go", 0.0), ("undo", 0.4)]


def test_other_zones_wait_150_ms() -> None:
    """A key of another zone within 150 ms is ignored, at 150 ms it is taken."""
    assert strikes([(0.0, "space"), (0.149, "backspace")]) == [("go", 0.0)]
    assert strikes([(0.0, "space"), (0.151, "backspace")]) == [("go", 0.0), ("undo", 0.151)]


def test_an_ignored_key_that_is_held_never_acts() -> None:
    """A key that was locked out and repeats stays without effect until it has been let go."""
    held = [(0.1 + 0.033 * n, "backspace") for n in range(40)]
    assert strikes([(0.0, "space"), *held, (2.5, "backspace")]) == [("go", 0.0), ("undo", 2.5)]


def test_two_zones_at_once_are_void() -> None:
    """Go and undo in one handful do nothing and say why; neither do their repeats."""
    verdicts = run([(0.0, "space"), (0.01, "backspace"), (0.5, "space"), (0.53, "space")])
    assert [Void] == [type(v) for v in verdicts]
    assert "nothing done" in verdicts[0].why  # type: ignore[union-attr]


def test_a_dead_key_first_makes_it_void() -> None:
    """A dead key that a live one follows within 60 ms: void; within 150 ms: refused, and said."""
    assert [Void] == [type(v) for v in run([(0.0, "g"), (0.03, "space")])]
    assert [Dead, Void] == [type(v) for v in run([(0.0, "g"), (0.1, "space")])]
    assert [Dead, Strike] == [type(v) for v in run([(0.0, "g"), (0.2, "space")])]


def test_dead_keys_in_a_live_handful_are_nothing() -> None:
    """Dead keys after a live one in its handful change nothing."""
    assert [Strike("go", 100.0, ("space", "g", "h"))] == run([(0.0, "space"), (0.01, "g"), (0.05, "h")])


def test_a_burst_of_dead_keys_is_said_once() -> None:
    """Twenty dead keys in a second are one soft refusal."""
    assert [Dead(100.0)] == run([(n / 20, DEAD[n % len(DEAD)]) for n in range(20)])


def test_nudges_repeat() -> None:
    """Keys that nudge act at every press 0.15 s apart; faster events are one."""
    assert strikes([(0.0, "up"), (0.2, "up"), (0.4, "up"), (0.5, "up")]) == [
        ("up", 0.0),
        ("up", 0.2),
        ("up", 0.4),
    ]


def test_an_arrow_pressed_again_and_again_is_not_held() -> None:
    """An arrow pressed every 0.4 s acts each time, however long; only its repeats count as a held key."""
    presses = [(0.4 * n, "left") for n in range(20)]
    assert strikes(presses) == [("left", round(at, 6)) for at, _ in presses]
    held = run([(n / 25, "left") for n in range(150)])
    assert [type(verdict) for verdict in held] == [Strike, HeldLong]


def test_earlier_counts_each_press() -> None:
    """Three presses of earlier within a second count three times, a held one no more than twice."""
    assert strikes([(0.0, "1"), (0.3, "2"), (0.6, "1")]) == [("earlier", at) for at in (0.0, 0.3, 0.6)]
    assert len(strikes([(0.0, "3"), *((0.5 + n / 30, "3") for n in range(120))])) == 2


def test_a_held_key_is_said_and_ignored_alone() -> None:
    """A key held for 3 s is said once; the other keys of its zone, and other zones, then act beside it."""
    held = [(0.0, "space")] + [(0.5 + n / 30, "space") for n in range(200)]
    keys = sorted([*held, (4.0, "x"), (5.0, "backspace"), (6.0, "c")])
    verdicts = run(keys)
    assert sum(isinstance(v, HeldLong) for v in verdicts) == 1
    held_long = next(v for v in verdicts if isinstance(v, HeldLong))
    assert (held_long.zone, held_long.key) == ("go", "space") and 103.0 < held_long.up < 103.1
    assert strikes(keys) == [("go", 0.0), ("go", 4.0), ("undo", 5.0), ("go", 6.0)]


def test_a_key_let_go_is_live_again() -> None:
    """After a long hold and 0.7 s of nothing, the key acts again."""
    held = [(n / 30, "space") for n in range(120)]
    assert strikes([*held, (5.0, "space")]) == [("go", 0.0), ("go", 5.0)]


@pytest.mark.parametrize(
    "name", ["left_shift", "right_control", "caps_lock", "iso_level3_shift", "<ignore>", "shift+caps_lock"]
)
def test_modifiers_are_nothing(name: str) -> None:
    """A modifier neither acts nor locks nor makes a handful void."""
    assert run([(0.0, name)]) == []
    assert [Strike("go", 100.01, ("space",))] == run([(0.0, name), (0.01, "space"), (0.02, name)])


def test_shift_and_caps_lock_change_no_letter() -> None:
    """A glove that leans on Shift or Caps Lock still strikes."""
    assert strikes([(0.0, "X"), (1.0, "shift+space"), (2.0, "N")]) == [("go", 0.0), ("go", 1.0), ("go", 2.0)]
    assert strikes([(0.0, "ctrl+x"), (1.0, "alt+x")]) == []


def test_a_torn_function_key_marks_nothing_earlier() -> None:
    """The digits of a torn F5 do not move a step: they are the tail of a sequence."""
    assert strikes([(0.0, "alt+left_square_bracket"), (0.0, "1"), (0.3, "5"), (0.31, "tilde")]) == []


def test_an_escape_alone_is_the_menu() -> None:
    """Escape strikes the menu; a bracket long after it is only a dead key."""
    assert strikes([(0.0, "escape"), (0.9, "left_square_bracket"), (1.2, "1")])[:1] == [("menu", 0.0)]
    assert strikes([(0.0, "escape"), (2.0, "1")]) == [("menu", 0.0), ("earlier", 2.0)]


def test_a_live_key_ends_a_torn_sequence() -> None:
    """Space is no part of any sequence: it acts at once even if one began."""
    assert strikes([(0.0, "alt+left_square_bracket"), (0.2, "space")]) == [("go", 0.2)]


def test_time_never_runs_backwards() -> None:
    """An event stamped before the newest one counts as at the newest."""
    recogniser = Recogniser(ZONE_OF, NUDGES)
    recogniser.key("g", 10.0)
    recogniser.key("space", 9.0)
    assert [Void] == [type(v) for v in recogniser.due(10.06)]
