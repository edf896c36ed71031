"""What a plate's journal tells, as rows of words: the judgement first, its own troubles last. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from darkroom.bench import events as ev
from darkroom.log.plate import stage_text
from darkroom.log.plate.account import AccountLine, StageAccount
from darkroom.log.plate.late_strikes import late
from darkroom.log.plate.record import HOW, PlateRecord
from darkroom.log.plate.wall_time import clock, moment, parsed
from darkroom.process.text.durations import say_duration, show_duration
from darkroom.process.text.plain_text import plain
from darkroom.process.text.temperatures import show_celsius
from darkroom.screens.log_list.plate_rows import stars_words
from darkroom.screens.widgets.rows import Row, clip, width

LABEL = 11
"""The cells of what stands before a fact."""


def wrapped(words: str, columns: int) -> list[str]:
    """Return words broken into lines of at most `columns` cells; a word that is longer is broken too."""
    columns = max(1, columns)
    lines, line = [], ""
    for word in plain(words).split(" "):
        if line and width(line) + 1 + width(word) > columns:
            lines.append(line)
            line = ""
        line = f"{line} {word}" if line else word
        while width(line) > columns:
            cut = next(at for at in range(len(line), 0, -1) if width(line[:at]) <= columns or at == 1)
            lines.append(line[:cut])
            line = line[cut:]
    return [*lines, line]


def facts(pairs: Iterable[tuple[str, str | None]], columns: int, kind: str = "text") -> Iterator[Row]:
    """Yield a label and its words, broken over rows; nothing for one that is not known."""
    for label, words in pairs:
        if not words:
            continue
        for number, line in enumerate(wrapped(words, max(8, columns - LABEL))):
            lead = "" if number else clip(plain(label), LABEL - 1)
            yield [(lead + " " * (LABEL - width(lead)), "quiet"), (line, kind)]


def heading(words: str) -> list[Row]:
    """Return the rows that begin a part of the page."""
    return [[], [(words, "loud")]]


def stops_words(stops: float) -> str:
    """Return "+1/2", "−1", "0": a fraction where it is one of thirds, quarters or the like."""
    near = Fraction(abs(stops)).limit_denominator(12)
    size = f"{abs(stops):g}"
    if abs(float(near) - abs(stops)) < 6e-5:
        whole, part = divmod(near.numerator, near.denominator)
        pieces = [str(whole)] if whole or not part else []
        size = " ".join([*pieces, f"{part}/{near.denominator}"] if part else pieces)
    return ("+" if stops > 0 else "−" if stops < 0 else "") + size


def judged(record: PlateRecord, columns: int) -> Iterator[Row]:
    """Yield how the plate was judged; that it was not, where it was not."""
    one = record.judged
    said = []
    if one.stars is not None:
        said.append(f"{stars_words(one.stars)} {one.stars} of 5 stars")
    if one.exposure_stops is not None:
        way = "more" if one.exposure_stops > 0 else "less" if one.exposure_stops < 0 else "as it was"
        size = stops_words(abs(one.exposure_stops)).lstrip("+")
        unit = "stop" if abs(one.exposure_stops) <= 1 else "stops"
        said.append("next plate " + (f"{size} {unit} {way}" if one.exposure_stops else f"{way}"))
    if one.best_strip is not None:
        said.append(f"best strip {one.best_strip}")
    shown = [
        ("judged", " · ".join(said)),
        *(("fault", fault.text) for fault in one.faults),
        ("next time", one.detail("next")),
    ]
    shown += [(key, value) for key, value in one.details if key.strip().casefold() != "next"]
    shown += [("note", note) for note in one.notes]
    if any(words for _, words in shown):
        yield from facts(shown, columns)
    else:
        yield [("not judged yet", "quiet")]


def lateness(record: PlateRecord, columns: int) -> Iterator[Row]:
    """Yield a row for each strike that looks late."""
    for strike in late(record.account):
        words = f"{strike.stage} {strike.words} (m moves it)"
        yield from ([(line, "loud")] for line in wrapped(words, columns))


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
    beside = sum(sizes) + 10 <= columns
    lates = {strike.index: strike.words for strike in late(record.account)}
    for number, row in enumerate(rows):
        shown = row if beside else row[:5]
        line = "  ".join(cell + " " * (sizes[at] - width(cell)) for at, cell in enumerate(shown)).rstrip()
        yield [(clip(line, columns), "quiet" if not number else "text")]
        more = [] if beside or not number else [row[5]]
        more.append(lates.get(number - 1, ""))
        for words in filter(None, more):
            yield from ([("   " + line, "quiet")] for line in wrapped(words, columns - 3))


def _cells(stage: StageAccount) -> tuple[str, ...]:
    begun = clock(stage.started) if stage.started else ""
    cells = (
        stage.stage,
        begun,
        stage_text.planned(stage),
        stage_text.took(stage),
        HOW[stage.how],
        stage_text.heat(stage),
    )
    return tuple(map(plain, cells))


def plate(record: PlateRecord, columns: int) -> Iterator[Row]:
    """Yield what is known of the plate beside its times."""
    start, ended, account = record.log.start, record.log.ended, record.account
    yield from heading("THE PLATE")
    if start is None:
        yield [(clip(f"plate {plain(record.log.plate)}: its first line is lost", columns), "loud")]
        return
    exposure = account.exposure or "until a strike"
    if record.exposed is not None:
        exposure += f"; given {say_duration(record.exposed)}"
    exposure += ", timed away" if start.timed == "away" else ""
    made = record.exposure_stage
    strips = made.strips if made is not None else None
    at_first = [
        f"{source} {show_celsius(celsius)} {stage_text.origin(origin)}"
        for source, (celsius, origin) in start.temperatures.items()
    ]
    if start.humidity is not None:
        at_first.append(f"humidity {start.humidity[0]:g} % {stage_text.origin(start.humidity[1])}")
    wet = None if account.wet_about is None else f"about {show_duration(account.wet_about)}"
    if account.wet_used is not None and wet is not None:
        left = (account.wet_about or 0.0) - account.wet_used
        wet = f"{show_duration(account.wet_used)} used of {wet}, " + (
            f"{show_duration(left)} left" if left >= 0 else f"{show_duration(-left)} past it"
        )
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
            ("aperture", record.aperture),
            ("lens", start.lens),
            ("light", start.light),
            ("subject", start.subject),
            ("who", start.who),
            ("size", start.size),
            ("bottles", ", ".join(f"{what} {which}" for what, which in (start.bottles or {}).items())),
            ("at first", ", ".join(at_first)),
            ("stayed wet", wet),
            ("times", "estimated: the machine was started again in between" if account.estimated else None),
        ],
        columns,
    )


def process(record: PlateRecord, columns: int) -> Iterator[Row]:
    """Yield the process as it was when the plate was begun."""
    if record.state is None:
        return
    from darkroom.log.plate.process_text import stage_line, wet_line

    one = record.state.process
    yield from heading(f"ITS PROCESS THEN: {plain(one.name)}")
    yield from facts([("makes", one.makes), ("plate", one.plate), ("stays wet", wet_line(one))], columns)
    yield from facts([(stage.shown, stage_line(one, stage)) for stage in one.stages], columns)


def moments(record: PlateRecord, columns: int) -> Iterator[Row]:
    """Yield readings, moments, what was taken back, and lines of a newer darkroom."""
    account = record.account
    for name, said in (
        ("READINGS AND SETTINGS", account.readings),
        ("MOMENTS", account.moments),
        ("TAKEN BACK", account.taken_back),
        ("FROM A NEWER DARKROOM", account.newer),
    ):
        if said:
            yield from heading(name)
            for one in said:
                yield from facts([(clock(one.at), one.with_day(record.log.local_date))], columns)


def history(record: PlateRecord, columns: int) -> Iterator[Row]:
    """Yield every line of the judgement as it was written, and what became of it."""
    words = record.account.words
    if not words:
        return
    corrected = {
        line.corrects: line
        for line in record.log.standing
        if isinstance(line, ev.REVIEW) and line.corrects is not None
    }
    yield from heading("WHAT WAS SAID, LINE BY LINE")
    for one in words:
        by = corrected.get(one.n)
        became = ""
        if by is not None:
            verb = "withdrawn" if _withdraws(by) else "corrected"
            became = f"  ← {verb} by line {by.n}" + (f": {by.reason}" if by.reason else "")
        became += "  (taken back)" if one.taken_back else ""
        text = f"line {one.n}: {_said(one)}{became}"
        yield from facts([(_day(one.at), text)], columns, "quiet" if became else "text")


def _withdraws(line: object) -> bool:
    rating = isinstance(line, ev.Rating)
    return rating and all(getattr(line, name) is None for name in ("stars", "exposure_stops", "best_strip"))


def _said(one: AccountLine) -> str:
    return one.text.strip() if not one.text.startswith(" (") else "withdrawn" + one.text


def _day(at: str) -> str:
    found = parsed(at)
    return at[:10] if found is None else f"{found:%Y-%m-%d}"


def problems(record: PlateRecord, columns: int) -> Iterator[Row]:
    """Yield what is wrong with the journal, and where the journal is."""
    if record.problems:
        yield from heading("PROBLEMS OF ITS JOURNAL")
        for problem in record.problems:
            yield from ([(line, "loud")] for line in wrapped(problem, columns))
    yield from heading("ITS JOURNAL")
    for path in record.log.files:
        yield from ([(line, "quiet")] for line in wrapped(str(path), columns))
