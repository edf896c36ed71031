"""A comparison lists each difference once."""

from __future__ import annotations

from pathlib import Path

import msgspec

from darkroom.bench import events as ev
from darkroom.log.plate.comparison import differences, shown
from darkroom.log.plate.record import PlateRecord
from darkroom.process.model import ExposurePlan
from tests.kit.plates import forgotten, told


def planned(lines: list[ev.AnyEvent], plan: ExposurePlan) -> list[ev.AnyEvent]:
    """Return the same plate with another planned exposure."""
    first, *rest = lines
    assert isinstance(first, ev.PlateStarted)
    return [msgspec.structs.replace(first, plan=plan), *rest]


def _rows(home: Path, plan: ExposurePlan) -> list[tuple[object, object]]:
    first = told(home, forgotten())
    second = told(home, planned(forgotten(), plan))
    differing = differences(first, second)
    return [
        (difference.first, difference.second)
        for difference in differing
        if difference.what == "exposure planned"
    ]


def test_two_planned_times_are_one_difference(home: Path) -> None:
    """8 s and 4 s are one difference of times, not a second one of texts."""
    assert _rows(home, ExposurePlan(seconds=4.0)) == [(8.0, 4.0)]


def test_a_time_and_steps_are_told_apart_in_words(home: Path) -> None:
    """Steps that add up to the same time differ from it in the text of the exposure."""
    rows = _rows(home, ExposurePlan(steps=(2.0, 2.0, 4.0), between="run_on"))
    assert any(isinstance(first, str) and "8" in first for first, _ in rows)
    assert any(isinstance(second, str) and "2" in second for _, second in rows)


def test_nothing_is_listed_twice(home: Path) -> None:
    """Another plan, another time given and another temperature of the bath are one difference each."""
    first = told(home, forgotten())
    second = told(
        home,
        planned(
            forgotten(temperatures={"bath": (15.0, "hand"), "room": (21.0, "hand")}),
            ExposurePlan(steps=(2.0, 2.0, 8.0), between="run_on"),
        ),
    )
    differing = differences(first, second)
    assert len({difference.what for difference in differing}) == len(differing)
    values = [
        (difference.first, difference.second)
        for difference in differing
        if difference.what.startswith(("exposure", "expose")) or "bath" in difference.what
    ]
    assert values and len(set(values)) == len(values)
    assert not [difference for difference in differing if difference.what == "expose: planned"]


def test_what_reads_alike_is_no_difference(home: Path) -> None:
    """Temperatures shown by the same text are left out, and no row says the same twice."""
    first = told(home, forgotten(temperatures={"bath": (17.96, "hand")}))
    near = told(home, forgotten(temperatures={"bath": (18.04, "hand")}))
    far = told(home, forgotten(temperatures={"bath": (18.6, "hand")}))
    assert not [each for each in differences(first, near) if each.unit == "°C"]
    assert [each for each in differences(first, far) if each.unit == "°C"]
    for each in differences(first, far):
        assert shown(each.first, each.unit) != shown(each.second, each.unit)


def test_a_fault_of_both_plates_differs_in_its_cause_alone(home: Path) -> None:
    """The same fault, confirmed on one plate: its cause differs, the fault does not."""
    first, second = (
        told(
            home,
            [
                *forgotten(),
                ev.Fault(
                    n=forgotten()[-1].n + 1,
                    at="2026-03-02T20:00:00.000+01:00",
                    up=None,
                    name="fog",
                    cause=cause,
                ),
            ],
        )
        for cause in ("old developer", None)
    )
    (difference,) = differences(first, second)
    assert (difference.what, difference.first, difference.second) == ("cause of fog", "old developer", None)


def test_bottles_differ_role_by_role(home: Path) -> None:
    """Another developer is one difference; two bottles of one name are told by id; the same is none."""

    def plate(developer: str, fixer: str, number: str) -> PlateRecord:
        bottles = {"collodion": "C-1", "developer": developer, "fixer": fixer}
        ids = {"collodion": "c1", "developer": f"id-{developer}", "fixer": number}
        return told(home, forgotten(bottles=bottles, bottle_ids=ids))

    differing = differences(plate("D-3", "F-1", "f1"), plate("D-4", "F-1", "f2"))
    found = {each.what: (each.first, each.second) for each in differing}
    assert found == {"developer bottle": ("D-3", "D-4"), "fixer bottle": ("f1", "f2")}
