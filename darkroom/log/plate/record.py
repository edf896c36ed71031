"""The record of a plate: its journal, its account, its state, and how it was judged."""

from __future__ import annotations

from functools import cached_property
from pathlib import Path
from typing import Any

import msgspec

from darkroom.bench import endings
from darkroom.bench import events as ev
from darkroom.bench.next_plate import next_stops
from darkroom.bench.standing import Line
from darkroom.bench.state import PlateState
from darkroom.bench.steps import TOLD_OPEN
from darkroom.log.journal.journal_names import FolderCache
from darkroom.log.journal.merge import PlateLog, read_plate
from darkroom.log.plate.account import Account, StageAccount, account, folded
from darkroom.log.plate.account_lines import mark_numbers, note_text
from darkroom.log.plate.faults import JudgedFault, fault_of
from darkroom.log.plate.picture import KEY as PICTURE
from darkroom.log.plate.ratings import rates
from darkroom.log.store.paths import printable
from darkroom.process.scene import Scene


class Judged(msgspec.Struct, frozen=True, kw_only=True):
    """How the plate was judged, corrections applied. `exposure_stops` is for the next plate, + is more.

    `nothing_else` are the names of all faults that were looked for when it was said that there is nothing
    else; True stands for those that come with the tool, None says that it was not said.
    """

    stars: int | None = None
    exposure_stops: float | None = None
    best_strip: int | None = None
    exposure_word: ev.ExposureWord | None = None
    nothing_else: tuple[str, ...] | bool | None = None
    faults: tuple[JudgedFault, ...] = ()
    notes: tuple[str, ...] = ()
    details: tuple[tuple[str, str], ...] = ()

    @property
    def next_stops(self) -> float | None:
        """By how many stops the next plate's exposure should differ, of a test plate from its best strip."""
        return next_stops(self.exposure_stops, self.exposure_word, self.best_strip)

    @property
    def exposure_judged(self) -> bool:
        """Whether anything was said of the exposure: in stops, by a word or by the best strip."""
        said = (self.exposure_stops, self.exposure_word, self.best_strip)
        return any(value is not None for value in said)

    def detail(self, key: str) -> str | None:
        """Return the last value of a detail, by its key in any case."""
        values = [value for name, value in self.details if name.strip().casefold() == key]
        return values[-1] if values else None


class PlateRecord(msgspec.Struct, frozen=True, kw_only=True, dict=True):
    """All that is known of one plate. `state` is None when its lines do not fold to one."""

    log: PlateLog
    account: Account
    state: PlateState | None
    judged: Judged

    @property
    def process(self) -> str | None:
        """The name of the process as it was then."""
        start = self.log.start
        name = start.process.get("name") if start else None
        return None if name is None else str(name)

    @property
    def aperture(self) -> str | None:
        """The aperture as it stood last."""
        if self.state is not None:
            return self.state.aperture
        return self.log.start.aperture if self.log.start else None

    @property
    def scene(self) -> Scene | None:
        """The light and what the camera took of it, as they stood last."""
        if self.state is not None:
            return self.state.scene
        return self.log.start.scene if self.log.start else None

    @cached_property
    def exposure_stage(self) -> StageAccount | None:
        """The account of the exposure, once it was made."""
        if self.state is None:
            return None
        place = endings.exposure_place(self.state.process)
        name = None if place is None else self.state.process.stages[place].name
        made = (stage for stage in self.account.stages if stage.stage == name)
        return next((stage for stage in made if stage.how != "skipped"), None)

    @property
    def open_questions(self) -> tuple[StageAccount, ...]:
        """The exposure, where nobody saw when the cap went on and nobody has told it since."""
        stage = self.exposure_stage
        return () if stage is None or not stage.unseen or self.exposed is not None else (stage,)

    @property
    def exposed(self) -> float | None:
        """For how many seconds the lens was open, or None."""
        stage = self.exposure_stage
        if stage is None:
            return None
        if stage.unseen:
            return opened(self.judged.detail(TOLD_OPEN))
        return stage.seconds if stage.exposed is None else round(stage.exposed, 3)

    @property
    def picture(self) -> str | None:
        """The path of the picture of the plate, as it was typed."""
        return self.judged.detail(PICTURE)

    @property
    def title(self) -> str:
        """Words that name the plate."""
        start = self.log.start
        if start is None:
            return f"Plate {self.log.plate}"
        return f"{'Rehearsal' if start.rehearsal else 'Plate'} {start.number}"

    @property
    def problems(self) -> tuple[str, ...]:
        """What is wrong with the journal, and why the stages cannot be told."""
        trouble = self.account.trouble
        texts = tuple(str(problem) for problem in self.log.problems)
        return texts if trouble is None else (*texts, f"the stages cannot be told: {trouble}")

    @property
    def file(self) -> str:
        """The path of the journal's first file."""
        return printable(self.log.path)


def opened(text: str | None) -> float | None:
    """Return the seconds that a detail tells the lens was open; None without one that can be read."""
    from darkroom.errors import QuantityError
    from darkroom.process.text.durations import duration

    try:
        return None if text is None else duration(text)
    except QuantityError:
        return None


def read_record(path: Path, folder_cache: FolderCache | None = None) -> PlateRecord:
    """Return what is known of the plate whose first file is `path`. Raises nothing.

    A `folder_cache` saves reading the same folders again for each of many plates.
    """
    log = read_plate(path, folder_cache)
    fold_result = folded(log)
    return PlateRecord(
        log=log, account=account(log, fold_result), state=fold_result.state, judged=judge(log.standing)
    )


def judge(lines: tuple[Line, ...]) -> Judged:
    """Return the judgement that stands: a line that another corrects does not count.

    A rating that corrects a rating takes its place; values that the correction does not give stay.
    """
    review: dict[int, Any] = {line.n: line for line in lines if line.__class__ in _REVIEW}
    if not review:
        return _NOT_JUDGED
    counts = list(review.values())
    corrected = {line.corrects for line in counts if line.corrects is not None}
    if corrected:
        counts = [line for line in counts if line.n not in corrected]
        ratings = _ratings(review)
    else:
        ratings = [line for line in counts if isinstance(line, ev.Rating)]
    marks = mark_numbers(lines) if any(isinstance(line, ev.Note) for line in counts) else {}

    def last(name: str) -> float | None:
        values = [value for line in ratings if (value := getattr(line, name)) is not None]
        return values[-1] if values else None

    stars, best = last("stars"), last("best_strip")
    words = [line.exposure_word for line in ratings if line.exposure_word is not None]
    return Judged(
        stars=None if stars is None else int(stars),
        exposure_stops=last("exposure_stops"),
        best_strip=None if best is None else int(best),
        exposure_word=words[-1] if words else None,
        nothing_else=_looked_for(ratings),
        faults=tuple([fault_of(line) for line in counts if isinstance(line, ev.Fault)]),
        notes=tuple([note_text(line, marks) for line in counts if isinstance(line, ev.Note)]),
        details=tuple([(line.key, line.value) for line in counts if isinstance(line, ev.Detail)]),
    )


_REVIEW = frozenset(ev.REVIEW)
_NOT_JUDGED = Judged()


def _looked_for(ratings: list[ev.Rating]) -> tuple[str, ...] | bool | None:
    """Return the last "nothing else" that was said."""
    said = [line.nothing_else for line in ratings if line.nothing_else not in (None, False)]
    if not said:
        return None
    return tuple(said[-1]) if isinstance(said[-1], list) else True


def _ratings(review: dict[int, ev.Note | ev.Fault | ev.Rating | ev.Detail]) -> list[ev.Rating]:
    """Return the ratings that count, each correction at the place of what it corrects."""
    place_of: dict[int, int] = {}
    withdrawn: set[int] = set()
    for n, line in review.items():
        corrected = None if line.corrects is None else review.get(line.corrects)
        if isinstance(line, ev.Rating):
            place_of[n] = place_of.get(corrected.n, n) if isinstance(corrected, ev.Rating) else n
            if rates(line):
                continue
        while corrected is not None and corrected.n not in withdrawn:
            withdrawn.add(corrected.n)
            corrected = None if corrected.corrects is None else review.get(corrected.corrects)
    ratings = [line for line in review.values() if isinstance(line, ev.Rating) and line.n not in withdrawn]
    return sorted(ratings, key=lambda line: (place_of[line.n], line.n))
