"""The section of one plate in a report: facts, time line, stages, and what was read and said of it.

It is put together as text, without a template: a report has thousands of them, of a hundred values each.
Every value goes through `told` or `typed_text`; what stands in the markup as it is are names of this package,
figures and times of its own making, and the drawing, whose words `svg_shapes` escapes.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache, lru_cache

from darkroom.log.export.page_templates import told, typed_text
from darkroom.log.export.pictures import PagePicture, Pictures
from darkroom.log.export.svg_shapes import rect
from darkroom.log.export.svg_time_line import drawing
from darkroom.log.plate import bottle_text, stage_text
from darkroom.log.plate.account import Account, StageAccount
from darkroom.log.plate.account_lines import AccountLine
from darkroom.log.plate.late_strikes import late
from darkroom.log.plate.own_speed import speed_facts
from darkroom.log.plate.picture import KEY as PICTURE
from darkroom.log.plate.record import PlateRecord
from darkroom.log.plate.scene_text import aperture_text, light_text, lost_text, place_text, proposed_text
from darkroom.log.plate.wall_time import clock, moment
from darkroom.process.text.durations import say_duration, show_duration
from darkroom.process.text.temperatures import show_celsius

_KEY = (
    ("plan", "planned"),
    ("usual", "usual"),
    ("seen", "observed: ended by a strike"),
    ("called", "called: ended by the clock"),
    ("told", "told afterwards, or timed away"),
)
_STAGES = (
    "<h3>Stages</h3>\n<table>\n<tr><th>stage</th><th>begun</th><th>planned</th><th>took</th><th>end</th>"
    "<th>known</th><th>temperature</th></tr>"
)


def section(record: PlateRecord, pictures: Pictures | None) -> str:
    """Return the section of a plate as markup, with its picture among `pictures`, if there are any."""
    return "\n".join(_lines(record, pictures)) + "\n"


def _lines(record: PlateRecord, pictures: Pictures | None) -> Iterator[str]:
    """Yield the section line by line."""
    subject = record.log.start.subject if record.log.start else None
    heading = told(record.title) + (f": {typed_text(subject)}" if subject else "")
    yield f'<section class="plate" id="p{told(record.log.plate)}">\n<h2>{heading}</h2>\n<dl>'
    for name, value in _facts(record):
        if value:
            yield f"<dt>{told(name)}</dt><dd>{typed_text(value)}</dd>"
    yield "</dl>"
    if problems := record.problems:
        yield '<h3>Problems of its journal</h3>\n<ul class="wrong">'
        yield from (f"<li>{typed_text(problem)}</li>" for problem in problems)
        yield "</ul>"
    picture = None if pictures is None else pictures.of(record)
    if picture is not None:
        yield from _picture(record, picture)
    if drawn := drawing(record):
        yield drawn
        yield _key()
    if record.account.stages:
        yield _STAGES
        yield from _stages(record.account)
        yield "</table>"
    yield from _lists(record)
    yield "</section>"


def _picture(record: PlateRecord, picture: PagePicture) -> Iterator[str]:
    yield '<p class="picture">'
    if picture.data:
        yield f'<img src="{told(picture.data)}" alt="{told(record.title)}">'
    link = f'<a href="{told(picture.address)}">{typed_text(picture.name)}</a>'
    yield f"picture: {link} ({told(picture.words)})</p>"


def stars_text(record: PlateRecord) -> str:
    """Return the stars of a plate: "4 of 5", "" where it has none."""
    stars = record.judged.stars
    return "" if stars is None else f"{stars} of 5"


def _facts(record: PlateRecord) -> Iterator[tuple[str, str | None]]:
    start, ended, judged, account = record.log.start, record.log.ended, record.judged, record.account
    yield "process", record.process
    if start is not None:
        yield "begun", moment(start.at)
    if ended is not None:
        yield "ended", f"{moment(ended.at)}, {ended.how}" + (f": {ended.reason}" if ended.reason else "")
    else:
        yield "stands", account.now
    if start is not None:
        yield "who", start.who
        yield "size", start.size
        yield "lens", start.lens
        yield "aperture", aperture_text(record.scene, record.aperture)
        yield "light", light_text(record.scene, start.light)
        yield "light lost", lost_text(record.scene)
        yield "place", place_text(record.scene)
        yield "camera", start.camera
        yield "holder", start.holder
        yield "bottles", bottle_text.names_text(record)
        yield "bottle ids", bottle_text.ids_text(record)
        given = "" if record.exposed is None else f"; given {say_duration(record.exposed)}"
        away = ", timed away" if start.timed == "away" else ""
        yield "exposure", f"{account.exposure or 'until a press'}{given}{away}"
        yield "proposed", proposed_text(start.proposed)
    if account.wet_used is not None and account.wet_about is not None:
        yield "wet time", f"{show_duration(account.wet_used)} of about {show_duration(account.wet_about)}"
    yield "stars", stars_text(record)
    if judged.exposure_stops is not None:
        yield (
            "next plate",
            f"{judged.exposure_stops:+g} {'stop' if abs(judged.exposure_stops) == 1 else 'stops'}",
        )
    elif judged.exposure_word is not None:
        yield "next plate", judged.exposure_word
    yield "asked", "\n".join(stage_text.unseen(stage) for stage in record.open_questions) or None
    yield "best strip", None if judged.best_strip is None else str(judged.best_strip)
    yield from speed_facts(record)
    yield "faults", "\n".join("; ".join((fault.text, *fault.reasons)) for fault in judged.faults)
    yield "notes", "\n".join(judged.notes)
    yield from (detail for detail in judged.details if detail[0].strip().casefold() != PICTURE)
    if account.estimated:
        yield "times", "estimated: the computer was started again in between"
    yield "journal", record.log.path.name


@cache
def _key() -> str:
    """Return the key of the drawings: each bar with what it means, then what stands in words."""
    swatches = [
        f'<span><svg viewBox="0 0 26 11">{rect(kind, 1, 1, 24, 9)}</svg>{told(meaning)}</span>'
        for kind, meaning in _KEY
    ]
    words = ("1, 2 … marks, u taken back", "broken line of temperature: assumed, not read")
    return "\n".join(['<p class="key">', *swatches, *(f"<span>{text}</span>" for text in words), "</p>"])


def _stages(account: Account) -> Iterator[str]:
    """Yield a row for each stage."""
    late_words: dict[int, str] = {}
    for strike in late(account):
        late_words[strike.index] = f"{late_words.get(strike.index, '')}, {strike.words}"
    for index, stage in enumerate(account.stages):
        begun = told(clock(stage.started)) if stage.started else ""
        took = stage_text.took(stage) + late_words.get(index, "")
        known = "not known" if stage.unseen else stage_text.SEEN[stage.how]
        yield (
            f'<tr><td>{typed_text(stage.stage)}</td><td class="number">{begun}</td>'
            f"<td>{stage_text.planned(stage, 'usual ')}</td><td>{took}</td>"
            f"<td>{stage_text.ended(stage)}</td><td>{known}</td><td>{_temperature(stage)}</td></tr>"
        )


def _temperature(stage: StageAccount) -> str:
    return "" if stage.celsius is None else _reading(stage.source, stage.celsius, stage.origin)


@lru_cache(1024)
def _reading(source: str | None, celsius: float, origin: str | None) -> str:
    """Return a temperature and where it is from: stages of one plate, and plates of one day, share them."""
    text = f"{typed_text(str(source))} {show_celsius(celsius)}, {typed_text(str(origin))}"
    return f'<span class="assumed-value">{text}</span>' if origin == "assumed" else text


def _lists(record: PlateRecord) -> Iterator[str]:
    """Yield what was read, what happened and what was said, a list for each of them."""
    account, day = record.account, record.log.local_date
    lists: tuple[tuple[str, tuple[AccountLine, ...]], ...] = (
        ("Readings and settings", account.readings),
        ("Moments", account.moments),
        ("Taken back", account.taken_back),
        ("Words and judgements", account.words),
        ("From a newer darkroom", account.newer),
    )
    for heading, lines in lists:
        if lines:
            yield f"<h3>{heading}</h3>\n<ul>"
            for line in lines:
                yield f"<li>{told(clock(line.at))}  {typed_text(line.with_day(day))}</li>"
            yield "</ul>"
