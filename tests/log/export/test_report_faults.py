"""The faults in the HTML report: a section for each, counted by hand, and the words of no catalogue."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from html.parser import HTMLParser
from pathlib import Path

import msgspec
import pytest

from darkroom.bench import events as ev
from darkroom.faults.answer import Advice, Likely, Weighed, Why
from darkroom.faults.catalogue import Catalogue, Cause, Fault
from darkroom.faults.history import MarkedFault
from darkroom.log.export.html_report import report
from darkroom.log.export.report_faults import FaultBook, FaultSection, FaultSections
from darkroom.log.plate.record import PlateRecord, read_record
from tests.kit import fault_season
from tests.kit.exports import SCRIPT, shelve, worked

FOG, STREAKS = "general fog", "streaks"
CATALOGUE = Catalogue(
    faults={
        FOG: Fault(
            id=FOG, label="Fog all over", looks="a veil over <b>the shadows</b>", unexplained=0.01,
            causes={"warm": 0.4}, source="invented",
        ),
        STREAKS: Fault(
            id=STREAKS, label="Streaks", looks="lines the way it was dipped", unexplained=0.01,
            causes={"warm": 0.1}, source="invented",
        ),
    },
    causes={
        "warm": Cause(id="warm", label="developer too warm", usual=0.06, remedy="Cool it.", source="x"),
    },
)  # fmt: skip
AT = "2026-03-01T21:00:00.000+01:00"


def plate(
    home: Path,
    number: int,
    developer: str,
    *marked: ev.Fault,
    stars: int | None = 3,
    looked_for: object = None,
) -> PlateRecord:
    """Return a plate of this developer with these faults alone; without stars it was not judged."""
    made = worked(f"20260301-09{number:02}00-aaaaaa", number, bottles={"developer": developer})
    lines: list[ev.AnyEvent] = [line for line in made if not isinstance(line, ev.Rating | ev.Fault)]
    n = lines[-1].n
    lines += [msgspec.structs.replace(mark, n=n + k) for k, mark in enumerate(marked, 1)]
    if stars is not None:
        lines.append(ev.Rating(n=n + 9, at=AT, up=None, stars=stars, nothing_else=looked_for))  # type: ignore[arg-type]
    return read_record(shelve(home, lines))


def fault(name: str, where: str | None = None, cause: str | None = None) -> ev.Fault:
    """Return the line of a fault."""
    return ev.Fault(n=1, at=AT, up=None, name=name, where=where, cause=cause)


def why(plate_id: str, number: int) -> Why:
    """Return an answer with words that are not ours."""
    evidence = Weighed(of="developer over usual", says=f"developer +6.0 °C {SCRIPT}", decibans=8.0, value=6.0)
    return Why(
        plate=plate_id, number=number, faults=(MarkedFault(name=FOG),), none=0.2,
        causes=(Likely(cause="warm", label="developer too warm", chance=0.66, evidence=(evidence,)),),
        advice=Advice(kind="change", do="Cool it.", cause="warm"),
    )  # fmt: skip


class Asked:
    """Tells why, and notes of which plates it was asked."""

    def __init__(self, answers: bool = True) -> None:
        """Begin without a question."""
        self.paths: list[Path] = []
        self.answers = answers

    def book(self) -> FaultBook:
        """Return the book that a report gets."""
        return FaultBook(lambda: CATALOGUE, self.of)

    def of(self, paths: Sequence[Path]) -> dict[Path, Why]:
        """Tell why the plates failed."""
        self.paths += paths
        return {path: why(path.stem, 7) for path in paths if self.answers}


def season(home: Path) -> list[PlateRecord]:
    """Return eleven plates: of D-3 one of five with fog, of D-4 four of five; one was never judged."""
    first = [
        plate(home, k, "D-3", *([fault("Fog all over", "left edge")] if k == 2 else [])) for k in range(1, 6)
    ]
    marks = [
        (fault(FOG, "left edge"), fault(FOG, "all over")),
        (fault(FOG, "all over", "warm"),),
        (fault(FOG, cause="warm"), fault(STREAKS)),
        (fault(FOG, cause="a ghost"), fault(SCRIPT)),
        (fault(SCRIPT.upper()),),
    ]
    later = [plate(home, 6 + k, "D-4", *marked) for k, marked in enumerate(marks)]
    return [*first, *later, plate(home, 20, "D-4", stars=None)]


def sections_of(records: list[PlateRecord], asked: Asked) -> tuple[list[FaultSection], FaultSections]:
    """Return the sections of these plates, and what gathered them."""
    gathered = FaultSections(asked.book())
    for record in records:
        gathered.add(record)
    return list(gathered.sections()), gathered


def test_a_fault_is_counted_among_the_judged_plates(home: Path) -> None:
    """Five of ten judged plates have fog, by its id or its label; two places on one plate are one plate."""
    (fog, streaks), _ = sections_of(season(home), Asked())
    assert (fog.label, len(fog.plates), fog.judged) == ("Fog all over", 5, 10)
    assert (fog.first.title, fog.last.title, fog.last.day) == ("Plate 2", "Plate 9", "2026-03-01")
    assert fog.places == (("left edge", 2), ("all over", 2))
    assert fog.causes == (("developer too warm", 2), ("a ghost", 1))
    assert (streaks.label, len(streaks.plates)) == ("Streaks", 1)


def test_what_tells_a_bottle_from_the_others_is_a_row(home: Path) -> None:
    """D-4 has 4 of its 5 judged plates with fog, D-3 1 of 5: G = 3.85, which chance exceeds in 1 of 20.

    By hand: 2·(4 ln(4/2.5) + 1 ln(1/2.5) + 1 ln(1/2.5) + 4 ln(4/2.5)) = 3.855.
    """
    (fog, _), _ = sections_of(season(home), Asked())
    rows = {(row.kind, row.name): (row.having, row.lacking) for row in fog.tallies}
    assert rows == {("developer", "D-3"): (1, 4), ("developer", "D-4"): (4, 1)}


def test_few_plates_tell_nothing_of_a_bottle(home: Path) -> None:
    """Three judged plates make no row, as on a plate's own page; with a fourth D-4 and D-3 differ plainly.

    By hand: two of two with it against none of two, G = 2·4·ln 2 = 5.545.
    """
    records = [plate(home, 1, "D-4", fault(FOG)), plate(home, 2, "D-4", fault(FOG)), plate(home, 3, "D-3")]
    (fog,), _ = sections_of(records, Asked())
    assert fog.tallies == ()
    (fog,), _ = sections_of([*records, plate(home, 4, "D-3")], Asked())
    assert [(row.name, row.having, row.lacking) for row in fog.tallies] == [("D-3", 0, 2), ("D-4", 2, 0)]


def test_words_of_ones_own_are_listed_apart(home: Path) -> None:
    """A name that is in no catalogue is one entry in any case, with its plates, and has no section."""
    sections, gathered = sections_of(season(home), Asked())
    assert [section.label for section in sections] == ["Fog all over", "Streaks"]
    (own,) = gathered.own_words()
    assert (own.name, [link.title for link in own.plates]) == (SCRIPT, ["Plate 9", "Plate 10"])


def test_why_is_asked_once_for_each_plate(home: Path) -> None:
    """Of the newest plate with it alone; of one that stands already the words are not told twice."""
    asked = Asked()
    records = season(home)[:8]  # plate 8 is the newest with fog and with streaks
    (fog, streaks), _ = sections_of(records, asked)
    assert asked.paths == [records[-1].log.path]
    assert fog.why and not streaks.why and streaks.why_told_under == "Fog all over"


def test_plates_that_were_looked_at_for_a_fault_are_counted(home: Path) -> None:
    """ "Nothing else" counts for the faults that it names, true for all; a marked fault is not absent."""
    records = [
        plate(home, 1, "D-3", fault(FOG), looked_for=True),
        plate(home, 2, "D-3", looked_for=[FOG]),
        plate(home, 3, "D-3", looked_for=True),
        plate(home, 4, "D-3", fault(STREAKS)),
    ]
    (fog, streaks), _ = sections_of(records, Asked())
    assert (fog.lacking, streaks.lacking) == (2, 2)


def test_true_looked_for_the_shipped_faults_alone(home: Path) -> None:
    """A fault of one's own counts as absent where it was named, and not where all are meant."""
    records = [
        plate(home, 1, "D-3", fault(FOG)),
        plate(home, 2, "D-3", looked_for=True),
        plate(home, 3, "D-3", looked_for=[FOG]),
    ]
    asked = Asked()
    gathered = FaultSections(
        FaultBook(
            lambda: msgspec.structs.replace(asked.book().read_catalogue(), own=frozenset({FOG})),
            asked.book().whys_of,
        )
    )
    for record in records:
        gathered.add(record)
    (fog,) = gathered.sections()
    assert fog.lacking == 1


def test_a_report_without_faults_reads_no_catalogue(home: Path) -> None:
    """Neither the catalogue nor the log is asked; the page says nothing of faults."""

    def not_read() -> Catalogue:
        raise AssertionError("the catalogue was read")

    asked = Asked()
    record = plate(home, 1, "D-3")
    page = b"".join(report([record], "Plates", None, FaultBook(not_read, asked.of))).decode()
    assert "<h2>Faults</h2>" not in page and not asked.paths


class Links(HTMLParser):
    """Reads the places that a page's links go to, the ids it has, and its words."""

    def __init__(self, page: str) -> None:
        """Read the page."""
        super().__init__()
        self.to: set[str] = set()
        self.ids: set[str] = set()
        self.tags: set[str] = set()
        self.words = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note links and ids."""
        self.tags.add(tag)
        for name, value in attrs:
            if name == "href":
                self.to.add((value or "").removeprefix("#"))
            elif name == "id":
                self.ids.add(value or "")

    def handle_data(self, data: str) -> None:
        """Keep the words."""
        self.words += data


@pytest.mark.parametrize("answers", [True, False])
def test_the_page_tells_it_escaped_and_links_its_plates(home: Path, answers: bool) -> None:
    """What people and files say are words; every link goes to a plate here; no answer, no "why"."""
    page = b"".join(report(season(home), "Plates", None, Asked(answers).book())).decode()
    links = Links(page)
    assert SCRIPT in links.words and "script" not in links.tags and "<b>the shadows</b>" in links.words
    assert links.to <= links.ids
    assert "general fog (all over); cause: warm" in links.words
    for words in ("on 5 of 10 judged plates of this report", "Not in the catalogue", "Fog all over"):
        assert words in links.words
    assert ("Why: Plate 9" in links.words) is answers
    assert ("Change one thing" in links.words) is answers


def test_the_command_tells_why_of_the_log(home: Path, out: Path, export) -> None:
    """Fog from plate 31 of a run of forty: the report has its count, D-4, when it began and one change."""
    last_day = datetime(2026, 5, 15, 9, 0, tzinfo=UTC)
    for number in range(1, 41):
        fault_season.shelve_plate(home, number, last_day, {})
    status, said = export("html", "--all", "--to", out / "all.html")
    assert status == 0 and said.startswith("40 plates written")
    words = " ".join(Links((out / "all.html").read_text(encoding="utf-8")).words.split())
    assert "on 4 of 39 judged plates of this report" in words
    assert "looked for and not there on 35" in words
    for told in (
        "Why: Plate 34",
        "First with plate 31",
        "developer D-4",
        "developer +",
        "Change one thing: ",
    ):
        assert told in words


def test_a_rehearsal_is_counted_and_no_more(home: Path, out: Path, export) -> None:
    """A fault of a rehearsal has its count in the report of rehearsals; why is not asked of the log."""
    lines = worked()
    start = lines[0]
    assert isinstance(start, ev.PlateStarted)
    lines[0] = msgspec.structs.replace(start, rehearsal=True)
    marked = ev.Fault(n=lines[-1].n + 1, at=AT, up=None, name=FOG)
    path = shelve(home, [*lines, marked])
    folder = home / "rehearsals" / path.parent.relative_to(home / "plates")
    folder.mkdir(parents=True)
    path.rename(folder / path.name)
    assert export("html", "--all", "--rehearsals", "--to", out / "all.html")[0] == 0
    words = Links((out / "all.html").read_text(encoding="utf-8")).words
    assert "on 1 of 1 judged plates of this report" in words and "Why: " not in words


def test_a_wrong_file_of_ones_own_is_said(home: Path, out: Path, export) -> None:
    """The report is written with the faults that come with the tool; the mistake is one line."""
    own = home / "profiles" / "faults" / "own.yaml"
    own.parent.mkdir(parents=True)
    own.write_text("faults: {dust: {looks: \x1b[31m}}\n", encoding="utf-8")
    plate(home, 1, "D-3", fault(FOG))
    status, said = export("html", "--all", "--to", out / "all.html")
    assert status == 0 and "own.yaml" in said and "\x1b" not in said
    assert "on 1 of 1 judged plates" in (out / "all.html").read_text(encoding="utf-8")
