"""Why one plate failed, joined from its record and the plates around it."""

from __future__ import annotations

import msgspec
import pytest

from darkroom.faults.catalogue import Evidence
from darkroom.faults.history import BottleThen, MarkedFault, PlateFigures
from darkroom.faults.why import why
from tests.kit.fault_plates import at_celsius, blank, plate, with_bottles
from tests.kit.small_faults import catalogue, cause, fault

WARM = Evidence(
    of="developer over usual", points=((-2.0, -7.0), (0.0, -5.0), (7.0, 9.0)), says="{value:+.1f} °C"
)
HOLDER = Evidence(of="holder", points=((-30.0, -4.0), (0.0, -1.0), (60.0, 8.0)), says="{value:+.0f} %")
FOG = catalogue(
    [
        cause("warm developer", 0.06, evidence=(WARM,)),
        cause("stray light", 0.04, evidence=(HOLDER,)),
        cause("weak bath", 0.04),
    ],
    [
        fault("fog", 0.01, {"warm developer": 0.4, "stray light": 0.7}, label="general fog"),
        fault("thin image", 0.01, {"weak bath": 0.5, "stray light": 0.05}),
    ],
)
D4 = BottleThen(name="D-4", id="d4", age_days=0.0, plates=0)
GOOD = [plate(number) for number in range(1, 31)]
FOGGED = [
    plate(number, "fog", **at_celsius(26.0), bottles=with_bottles(developer=D4)) for number in range(31, 34)
]


def test_a_warm_new_developer_is_found_from_the_record() -> None:
    """Thirty good plates, then fog with a developer 6 degrees warmer: when, what was new, and why."""
    answer = why(FOG, FOGGED[0], [*GOOD, *FOGGED], {})
    assert (answer.plate, answer.number) == ("plate 31", 31)
    assert answer.causes[0].cause == "warm developer"
    assert answer.causes[0].evidence[0].value == 6.0
    assert answer.causes[0].chance > 0.6
    assert answer.advice is not None and answer.advice.do == "Remedy warm developer."
    (began,) = answer.began
    assert (began.number, began.after, began.new[0]) == (31, 30, "developer D-4")
    assert answer.nearest_good is not None
    assert (answer.plates, answer.usual_plates) == (31, 20)


def test_later_plates_do_not_change_the_chances() -> None:
    """What came after a plate is not known of it: its causes and its beginning stay."""
    early = why(FOG, FOGGED[0], [*GOOD, FOGGED[0]], {})
    late = why(FOG, FOGGED[0], [*GOOD, *FOGGED, plate(34), plate(35)], {})
    assert early.causes == late.causes
    assert early.began == late.began
    assert early.tallies == late.tallies
    assert early.since == ()
    assert (late.since[0].having_to, late.since[0].lacking_from) == (33, 34)


def test_nothing_else_speaks_against_what_makes_more_faults() -> None:
    """A fault that was looked for and not seen enters, one that the catalogue did not hold then does not."""
    open_end = msgspec.structs.replace(FOGGED[0], faults=(MarkedFault(name="thin image"),))
    looked = msgspec.structs.replace(open_end, looked_for=("thin image", "fog"))
    unknown = msgspec.structs.replace(open_end, looked_for=("thin image",))
    chance = {
        name: {each.cause: each.chance for each in why(FOG, one, GOOD, {}).causes}["stray light"]
        for name, one in (("open", open_end), ("looked", looked), ("unknown", unknown))
    }
    assert chance["looked"] < 0.5 * chance["open"]
    assert chance["unknown"] == chance["open"]


def test_old_names_are_known_by_label_and_free_words_are_listed() -> None:
    """A label of an old journal counts as its fault, on the plates before too; other words weigh nothing."""
    old = [msgspec.structs.replace(one, faults=(MarkedFault(name="General Fog"),)) for one in FOGGED[:2]]
    last = msgspec.structs.replace(FOGGED[2], faults=(MarkedFault(name="fog"), MarkedFault(name="gremlins")))
    answer = why(FOG, last, [*GOOD, *old, last], {})
    assert answer.unknown == ("gremlins",)
    assert answer.began[0].plates == 3


@pytest.mark.parametrize("faults", [(), ("gremlins",)])
def test_without_a_known_fault_there_is_no_cause(faults: tuple[str, ...]) -> None:
    """A good plate, and one with a fault that nobody knows: no cause, no advice, nothing inferred."""
    answer = why(FOG, plate(31, *faults), GOOD, {})
    assert (answer.causes, answer.none, answer.advice) == ((), 1.0, None)
    assert (answer.unknown, answer.tallies, answer.began) == (faults, (), ())


def test_an_empty_record_says_what_to_note_next_time() -> None:
    """With nothing recorded the causes are what is usual, and the advice is what would tell most."""
    thin = blank(1, "fog")
    many = catalogue(
        [
            cause(f"c{number}", 0.03, evidence=(msgspec.structs.replace(WARM, of=of),))
            for number, of in enumerate(("developer over usual", "bath over usual", "humidity", "wet share"))
        ],
        [fault("fog", 0.01, {f"c{number}": 0.4 for number in range(4)})],
    )
    answer = why(many, thin, [thin], {})
    assert answer.advice is not None
    assert answer.advice.kind == "note"
    assert answer.advice.do == "Next time, read the developer's temperature."
    assert all(each.evidence == () and len(each.silent) == 1 for each in answer.causes)


def test_the_same_record_gives_the_same_answer() -> None:
    """Asking twice, or with plates of another process among them, changes nothing of the causes."""
    history: list[PlateFigures] = [*GOOD, *FOGGED]
    others = [plate(100 + number, "thin image", process="tintype") for number in range(3)]
    first = why(FOG, FOGGED[0], history, {"stray light": 1})
    assert why(FOG, FOGGED[0], history, {"stray light": 1}) == first
    assert why(FOG, FOGGED[0], [*others, *history], {"stray light": 1}).causes[0] == first.causes[0]
