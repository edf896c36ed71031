"""What a plate's journal tells, as rows of words: the judgement first, its own troubles last. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from msgspec.structs import replace

from darkroom.log.plate import bottle_text, stage_text
from darkroom.log.plate.account import StageAccount, wet_text
from darkroom.log.plate.account_lines import origin
from darkroom.log.plate.faults import JudgedFault
from darkroom.log.plate.late_strikes import late
from darkroom.log.plate.marks import marks
from darkroom.log.plate.own_speed import speed_facts
from darkroom.log.plate.picture import KEY as PICTURE
from darkroom.log.plate.record import PlateRecord
from darkroom.log.plate.scene_text import aperture_text, light_text, lost_text, place_text, proposed_text
from darkroom.log.plate.wall_time import clock, moment, parsed
from darkroom.process.text.durations import say_duration, show_duration
from darkroom.process.text.plain_text import plain
from darkroom.process.text.temperatures import show_celsius
from darkroom.screens.log_list.plate_rows import stars_words
from darkroom.screens.widgets.rows import Row, clip, width
from darkroom.screens.widgets.wrapped_text import facts, wrapped

WHY = "WHY IT FAILED"
"""What the part of the page about its faults begins with."""
MOST_MARKS = 2
"""So many marks without words have a row each; more of them share one."""


def heading(text: str) -> list[Row]:
    """Return the rows that begin a part of the page."""
    return [[], [(text, "loud")]]


def stops_words(stops: float) -> str:
    """Return "+1/2", "−1", "0": a fraction where it is one of thirds, quarters or the like."""
    fraction = Fraction(abs(stops)).limit_denominator(12)
    size = f"{abs(stops):g}"
    if abs(float(fraction) - abs(stops)) < 6e-5:
        whole_stops, rest = divmod(fraction.numerator, fraction.denominator)
        pieces = [str(whole_stops)] if whole_stops or not rest else []
        size = " ".join([*pieces, f"{rest}/{fraction.denominator}"] if rest else pieces)
    return ("+" if stops > 0 else "−" if stops < 0 else "") + size


def judged(
    record: PlateRecord,
    columns: int,
    picture: str = "",
    likely: str = "",
    labels: Mapping[str, str] | None = None,
    advice: Sequence[tuple[str, str]] = (),
) -> Iterator[Row]:
    """Yield how the plate was judged; that it was not, where it was not.

    `picture` is what is known of the plate's picture, `likely` what its fault most likely came from, `labels`
    are {name of a fault: what the catalogue calls it}, `advice` is the one thing to do for it, with its
    cautions: (what it is, its words) each.
    """
    judgement = record.judged
    ratings = []
    if judgement.stars is not None:
        ratings.append(f"{stars_words(judgement.stars)} {judgement.stars} of 5 stars")
    stops = judgement.exposure_stops
    if stops is not None:
        direction = "more" if stops > 0 else "less" if stops < 0 else "as it was"
        size = stops_words(abs(stops)).lstrip("+")
        unit = "stop" if abs(stops) <= 1 else "stops"
        ratings.append("next plate " + (f"{size} {unit} {direction}" if stops else direction))
    elif judgement.exposure_word is not None:
        ratings.append(f"next plate {judgement.exposure_word}")
    if judgement.best_strip is not None:
        ratings.append(f"best strip {judgement.best_strip}")
    if judgement.nothing_else not in (None, False):
        ratings.append("no other fault" if judgement.faults else "no fault")
    pairs = [
        ("judged", " · ".join(ratings)),
        *(("fault", _called(fault, labels or {})) for fault in judgement.faults),
        ("likely", likely),
        *advice,
        ("next time", judgement.detail("next")),
    ]
    pairs += [
        (key, value) for key, value in judgement.details if key.strip().casefold() not in ("next", PICTURE)
    ]
    if record.picture is not None:
        pairs.append(("picture", record.picture + (f" ({picture})" if picture else "")))
    pairs += [("note", note) for note in judgement.notes]
    if any(text for _, text in pairs):
        yield from facts(pairs, columns)
    else:
        yield [("not judged yet", "quiet")]


def _called(fault: JudgedFault, labels: Mapping[str, str]) -> str:
    return replace(fault, name=labels.get(fault.name, fault.name)).text


def questions(record: PlateRecord, columns: int) -> Iterator[Row]:
    """Yield what nobody saw and only the photographer can tell."""
    for stage in record.open_questions:
        yield from ([(line, "loud")] for line in wrapped(stage_text.unseen(stage) + " (j tells it)", columns))
    open_marks = [mark for mark in marks(record) if mark.words is None]
    texts = [mark.title for mark in open_marks]
    if len(open_marks) > MOST_MARKS:
        texts = [f"{len(open_marks)} marks without words, from {clock(open_marks[0].at)} on"]
    for text in texts:
        yield from ([(line, "loud")] for line in wrapped(f"{text}: what happened? (w picks words)", columns))


def lateness(record: PlateRecord, columns: int) -> Iterator[Row]:
    """Yield a row for each strike that looks late."""
    for strike in late(record.account):
        text = f"{strike.stage} {strike.words} (m moves it)"
        yield from ([(line, "loud")] for line in wrapped(text, columns))


def speed(record: PlateRecord, columns: int) -> Iterator[Row]:
    """Yield what was proposed; of a judged plate what it wanted, its speed, and what was expected."""
    start = record.log.start
    pairs = [("proposed", proposed_text(start.proposed if start else None)), *speed_facts(record)]
    if any(text for _, text in pairs):
        yield from heading("ITS EXPOSURE")
        yield from facts(pairs, columns)


def table(record: PlateRecord, columns: int) -> Iterator[Row]:
    """Yield the stages as a table; what does not fit beside stands below its stage."""
    stages = record.account.stages
    if record.account.trouble is not None:
        for line in wrapped(f"the stages cannot be told: {record.account.trouble}", columns):
            yield [(line, "loud")]
    if not stages:
        return
    yield from heading("STAGES")
    rows = [("stage", "begun", "planned", "took", "ended", "temperature"), *map(_cells, stages)]
    sizes = [max(width(row[column]) for row in rows) for column in range(6)]
    fits = sum(sizes) + 10 <= columns
    late_words = {strike.index: strike.words for strike in late(record.account)}
    for number, row in enumerate(rows):
        cells = row if fits else row[:5]
        padded = (cell + " " * (size - width(cell)) for cell, size in zip(cells, sizes, strict=False))
        line = "  ".join(padded).rstrip()
        yield [(clip(line, columns), "quiet" if not number else "text")]
        below = [] if fits or not number else [row[5]]
        below.append(late_words.get(number - 1, ""))
        for text in filter(None, below):
            yield from ([("   " + line, "quiet")] for line in wrapped(text, columns - 3))


def _cells(stage: StageAccount) -> tuple[str, ...]:
    begun = clock(stage.started) if stage.started else ""
    cells = (
        stage.stage,
        begun,
        stage_text.planned(stage),
        stage_text.took(stage),
        stage_text.ended(stage),
        stage_text.temperature(stage),
    )
    return tuple(map(plain, cells))


def plate(record: PlateRecord, columns: int) -> Iterator[Row]:
    """Yield what is known of the plate beside its times."""
    start, ended, account = record.log.start, record.log.ended, record.account
    yield from heading("THE PLATE")
    if start is None:
        yield [(clip(f"plate {plain(record.log.plate)}: its first line is lost", columns), "loud")]
        return
    exposure = account.exposure or "until a press"
    if record.exposed is not None:
        exposure += f"; given {say_duration(record.exposed)}"
    exposure += ", timed away" if start.timed == "away" else ""
    exposure_stage = record.exposure_stage
    strips = exposure_stage.strips if exposure_stage is not None else None
    at_first = [
        f"{source} {show_celsius(celsius)} {origin(where)}"
        for source, (celsius, where) in start.temperatures.items()
    ]
    if start.humidity is not None:
        at_first.append(f"humidity {start.humidity[0]:g} % {origin(start.humidity[1])}")
    wet = wet_text(account)
    if account.wet_used is not None and account.wet_about is not None:
        wet_left = account.wet_about - account.wet_used
        wet = f"{wet}, {show_duration(abs(wet_left))} {'left' if wet_left >= 0 else 'past it'}"
    yield from facts(
        [
            ("begun", moment(start.at)),
            (
                "ended",
                None
                if ended is None
                else f"{moment(ended.at)}, {ended.how}" + (f": {ended.reason}" if ended.reason else ""),
            ),
            ("stands", None if ended is not None else account.now),
            ("exposure", exposure),
            (
                "strips",
                None
                if not strips
                else ", ".join(f"{number}: {seconds:g} s" for number, seconds in enumerate(strips, 1)),
            ),
            ("aperture", aperture_text(record.scene, record.aperture)),
            ("lens", start.lens),
            ("light", light_text(record.scene, start.light)),
            ("light lost", lost_text(record.scene)),
            ("place", place_text(record.scene)),
            ("camera", start.camera),
            ("holder", start.holder),
            ("subject", start.subject),
            ("who", start.who),
            ("size", start.size),
            ("bottles", bottle_text.names_text(record)),
            ("at first", ", ".join(at_first)),
            ("stayed wet", wet),
            ("times", "estimated: the computer was started again in between" if account.estimated else None),
        ],
        columns,
    )


def process(record: PlateRecord, columns: int) -> Iterator[Row]:
    """Yield the process as it was when the plate was begun."""
    if record.state is None:
        return
    from darkroom.log.plate.process_text import stage_line, wet_line

    old_process = record.state.process
    yield from heading(f"ITS PROCESS THEN: {plain(old_process.name)}")
    makes, plate_kind, wet = old_process.makes, old_process.plate, wet_line(old_process)
    yield from facts([("makes", makes), ("plate", plate_kind), ("stays wet", wet)], columns)
    yield from facts([(stage.shown, stage_line(old_process, stage)) for stage in old_process.stages], columns)


def moments(record: PlateRecord, columns: int) -> Iterator[Row]:
    """Yield readings, moments, what was taken back, and lines of a newer darkroom."""
    account = record.account
    for name, account_lines in (
        ("READINGS AND SETTINGS", account.readings),
        ("MOMENTS", account.moments),
        ("TAKEN BACK", account.taken_back),
        ("FROM A NEWER DARKROOM", account.newer),
    ):
        if account_lines:
            yield from heading(name)
            for line in account_lines:
                yield from facts([(clock(line.at), line.with_day(record.log.local_date))], columns)


def history(record: PlateRecord, columns: int) -> Iterator[Row]:
    """Yield every line of the judgement as it was written, and what became of it."""
    account_lines = record.account.words
    if not account_lines:
        return
    yield from heading("WHAT WAS SAID, IN ORDER")
    for line in account_lines:
        fate = "taken back" if line.taken_back else line.fate
        text = line.text + (f"  ← {fate}" if fate else "")
        yield from facts([(_day(line.at), text)], columns, "quiet" if fate else "text")


def _day(wall_time: str) -> str:
    parsed_time = parsed(wall_time)
    return wall_time[:10] if parsed_time is None else f"{parsed_time:%Y-%m-%d}"


def problems(record: PlateRecord, columns: int) -> Iterator[Row]:
    """Yield what is wrong with the journal, and where the journal is."""
    if record.problems:
        yield from heading("PROBLEMS OF ITS JOURNAL")
        for problem in record.problems:
            yield from ([(line, "loud")] for line in wrapped(problem, columns))
    yield from heading("ITS JOURNAL")
    for path in record.log.files:
        yield from ([(line, "quiet")] for line in wrapped(str(path), columns))
