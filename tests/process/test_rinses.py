"""Which stages of a process keep acid and cyanide apart."""

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
ACID, CYANIDE = ("acid", None, False), ("cyanide", None, False)
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
        ((RINSE, CYANIDE, WATER), {0: BEFORE}),
        (
            (RINSE, CYANIDE, WATER, RINSE, ACID),
            {0: BEFORE, 2: AFTER},
        ),
    ],
)
def test_the_rinses_that_keep_acid_and_cyanide_apart(
    rows: tuple[tuple[str, float | None, bool], ...], protected: dict[int, str]
) -> None:
    """The nearest lasting rinse before cyanide is needed, and water before an acid that comes after it."""
    process = stages(*rows)
    needed = {place: rinses.protects(process, place) for place in range(len(process))}
    assert protected == {place: reason for place, reason in needed.items() if reason is not None}
