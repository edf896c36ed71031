"""Whatever lies in the plates' folders, the tool starts, says what stays away, and brings the others back."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import msgspec
import pytest

from darkroom.bench.view import bench_view
from darkroom.log.journal.merge import read_plate
from darkroom.screens.bench.layout import face
from darkroom.screens.bench.rail import BenchStatus
from darkroom.screens.services import Services
from darkroom.screens.start import build
from darkroom.session import telling
from tests.kit.odd_journals import COMES_BACK, GOOD, ODD, STAYS_AWAY, bench_lines, write


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the home of a bench with one good plate in the fixer."""
    monkeypatch.setenv("DARKROOM_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    write(tmp_path / "home", GOOD, bench_lines(GOOD))
    return tmp_path / "home"


def _started(home: Path) -> Iterator[Services]:
    """Start; let every plate be large once, drawn and told of, and time go on."""
    services = build(home)
    try:
        session = services.session
        session.tick()
        for plate in list(session.bench.plates):
            bench = msgspec.structs.replace(session.bench, large=plate)
            face(bench_view(bench, session.now()), BenchStatus(), 80, 24)
            telling.tell(bench, session.now())
        yield services
    finally:
        services.close()


@pytest.mark.parametrize("what", STAYS_AWAY)
def test_a_journal_that_cannot_be_gone_on_with_keeps_no_other_plate_away(home: Path, what: str) -> None:
    """Its plate stays where it is, the quiet line names it and says why, the good plate comes back."""
    make, why = STAYS_AWAY[what]
    make(home)
    for services in _started(home):
        assert list(services.session.bench.plates) == [GOOD]
        said = services.notices.text or ""
        assert ODD in said and why in said
        assert services.next_number() == 2


@pytest.mark.parametrize("what", COMES_BACK)
def test_an_odd_journal_that_can_be_folded_comes_back(home: Path, what: str) -> None:
    """Impossible clocks, numbers and lengths leave both plates on the bench, and the next number is right."""
    COMES_BACK[what](home)
    for services in _started(home):
        assert sorted(services.session.bench.plates) == [GOOD, ODD]
        assert services.next_number() == 2
        assert services.journal_writer.flush(20)
        assert not services.journal_writer.waiting()


def test_of_two_journals_of_one_plate_the_one_near_its_date_counts(home: Path) -> None:
    """The other is told of and left as it is; what happens is written to the one that counts."""
    newer = write(home, ODD, bench_lines(ODD))
    older = write(home, ODD, bench_lines(ODD), day="2026-03-01")
    (home / "bench.json").write_text(f'{{"plates": ["{ODD}"]}}')
    before = newer.read_bytes()
    for services in _started(home):
        said = services.notices.text or ""
        assert f"{ODD} stays where it is: another journal of it, in 2026-03-01, counts" in said
        assert services.journal_writer.flush(20)
    assert newer.read_bytes() == before
    assert [type(line).__name__ for line in read_plate(older).events[-1:]] == ["Resumed"]


def test_each_plate_that_stays_away_is_counted(home: Path) -> None:
    """The quiet line has the first, and how many more there are."""
    STAYS_AWAY["newer schema"][0](home)
    write(home, "20260301-090002-cccccc", bench_lines("20260301-090002-cccccc", schema=9))
    for services in _started(home):
        assert (services.notices.text or "").endswith("(and 1 more)")


def test_an_empty_file_says_nothing(home: Path) -> None:
    """Nothing was ever saved in it, and nothing was acknowledged."""
    write(home, ODD, [])
    for services in _started(home):
        assert services.notices.text is None
