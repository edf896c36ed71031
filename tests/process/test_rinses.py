"""Which stages of a process keep acid and cyanide apart, or wash the cyanide out."""

from __future__ import annotations

import pytest

from darkroom.process import rinses
from darkroom.process.model import Stage


def stages(*rows: tuple[str, float | None, bool]) -> list[Stage]:
    """Return stages that hold the given thing, with `at_least`, optional or not."""
    return [
        Stage(
            name=f"stage {number}", light="red", ends="by_eye", holds=(holds,), at_least=least, optional=free
        )
        for number, (holds, least, free) in enumerate(rows)
    ]


BEFORE, AFTER = "keeps acid from the cyanide", "keeps cyanide from the acid"
OUT = "washes the cyanide out"
ACID, CYANIDE, HYPO = ("acid", None, False), ("cyanide", None, False), ("hypo", None, False)
RINSE, WATER, OPTIONAL = ("water", 30.0, False), ("water", None, False), ("water", 30.0, True)


@pytest.mark.parametrize(
    ("rows", "protected"),
    [
        ((ACID, RINSE, CYANIDE), {1: BEFORE}),
        ((ACID, RINSE, WATER, CYANIDE), {1: BEFORE}),
        ((ACID, RINSE, RINSE, CYANIDE), {2: BEFORE}),
        ((ACID, RINSE, OPTIONAL, CYANIDE), {1: BEFORE}),
        ((RINSE, CYANIDE, CYANIDE), {0: BEFORE}),
        ((RINSE, ACID, CYANIDE), {}),
        ((ACID, RINSE, WATER), {}),
        ((RINSE, CYANIDE, WATER), {0: BEFORE, 2: OUT}),
        ((RINSE, CYANIDE, OPTIONAL, WATER), {0: BEFORE, 3: OUT}),
        ((RINSE, CYANIDE, WATER, RINSE, ACID), {0: BEFORE, 2: AFTER, 3: OUT}),
        ((RINSE, CYANIDE, WATER, ACID, WATER), {0: BEFORE, 2: AFTER, 4: OUT}),
        ((ACID, WATER, HYPO, WATER), {}),
    ],
)
def test_the_water_that_is_never_left_out(
    rows: tuple[tuple[str, float | None, bool], ...], protected: dict[int, str]
) -> None:
    """The nearest lasting rinse before cyanide is needed, and all water after it that is not optional."""
    process = stages(*rows)
    needed = {place: rinses.protects(process, place) for place in range(len(process))}
    assert protected == {place: reason for place, reason in needed.items() if reason is not None}
