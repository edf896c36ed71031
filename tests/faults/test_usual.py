"""What is usual: the median of the last twenty plates of the process before this one."""

from __future__ import annotations

from darkroom.faults.evidence import figures_of
from darkroom.faults.history import StageFigures
from darkroom.faults.usual import before, developer_celsius, usual, usual_plates
from tests.kit.fault_plates import at_celsius, blank, plate, with_stages


def test_the_usual_is_the_median_of_the_last_twenty() -> None:
    """Older plates than the last twenty that have the figure do not count, odd ones move little."""
    old = [plate(number, **at_celsius(10.0)) for number in range(1, 31)]
    new = [plate(number, **at_celsius(20.0 + 0.1 * (number - 31))) for number in range(31, 50)]
    last = plate(50, **at_celsius(40.0))
    assert usual((*old, *new, last), "clear glass", developer_celsius) == 20.95


def test_plates_without_the_figure_are_passed_over() -> None:
    """The last twenty are those in which it was read."""
    read = [plate(number, **at_celsius(18.0)) for number in range(1, 6)]
    unread = [plate(number, **at_celsius(None)) for number in range(6, 40)]
    assert usual((*read, *unread), "clear glass", developer_celsius) == 18.0


def test_fewer_than_five_plates_are_too_few() -> None:
    """Four plates make no usual, and it can be said of how many it is made."""
    asked = plate(20, "fog", **at_celsius(26.0))
    for count in (0, 1, 4):
        history = [plate(number) for number in range(1, count + 1)]
        assert "developer over usual" not in figures_of(asked, (*history, asked), ("fog",))
        assert usual_plates(asked, (*history, asked)) == count
    history = [plate(number) for number in range(1, 6)]
    assert figures_of(asked, (*history, asked), ("fog",))["developer over usual"] == 6.0
    assert usual_plates(asked, (*history, asked)) == 5


def test_other_processes_and_later_plates_make_no_usual() -> None:
    """What is usual for black glass, or was measured afterwards, says nothing of this plate."""
    asked = plate(5, "fog")
    others = [plate(number, process="black glass") for number in range(1, 5)]
    later = [plate(number) for number in range(6, 30)]
    assert usual_plates(asked, (*others, asked, *later)) == 0
    assert "developer over usual" not in figures_of(asked, (*others, asked, *later), ("fog",))


def test_plates_with_the_fault_are_part_of_the_usual() -> None:
    """Nine warm plates of twenty leave the usual where it was; from eleven on warm is the usual."""
    for warm, value in ((9, 6.0), (11, 0.0)):
        history = [plate(number) for number in range(1, 31)]
        history += [plate(30 + number, "fog", **at_celsius(26.0)) for number in range(1, warm + 1)]
        asked = plate(99, "fog", **at_celsius(26.0))
        assert figures_of(asked, (*history, asked), ("fog",))["developer over usual"] == value


def test_a_plate_that_is_not_in_the_history_is_placed_by_its_instant() -> None:
    """Plates that began before it are the earlier ones."""
    history = [plate(1), plate(2), plate(4)]
    assert [other.number for other in before(plate(3), history)] == [1, 2]
    assert [other.number for other in before(plate(2), history)] == [1]


def test_the_usual_plates_are_those_of_the_best_recorded_figure() -> None:
    """Plates that say nothing of what is compared make no usual; twenty are counted at most."""
    asked = plate(90)
    assert usual_plates(asked, [*(blank(number) for number in range(1, 20)), asked]) == 0
    timed = [blank(number, stages={"coat": StageFigures(seconds=30.0)}) for number in range(1, 41)]
    assert usual_plates(asked, [*timed, asked]) == 20


def test_a_usual_time_of_nothing_is_held_against_nothing() -> None:
    """A median of 0 s gives no per cent."""
    none = with_stages(coat=StageFigures(seconds=0.0))
    history = [plate(number, stages=none) for number in range(1, 8)]
    asked = plate(9)
    assert "coat over usual" not in figures_of(asked, (*history, asked), ("fog",))
