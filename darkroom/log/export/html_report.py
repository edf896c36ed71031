"""The report: plates with their time lines, for a screen or for paper, in one HTML file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from tempfile import SpooledTemporaryFile
from xml.etree import ElementTree

from darkroom.log.export.html_page import closing, opening
from darkroom.log.export.markup import escape, typed
from darkroom.log.export.report_trends import Charts
from darkroom.log.export.svg_shapes import rect
from darkroom.log.export.svg_time_line import drawing
from darkroom.log.plate import stage_text
from darkroom.log.plate.account import Account, AccountLine, StageAccount
from darkroom.log.plate.late_strikes import Late, late
from darkroom.log.plate.record import HOW, SEEN, PlateRecord
from darkroom.log.plate.wall_time import clock, moment
from darkroom.process.text.durations import say_duration, show_duration
from darkroom.process.text.temperatures import show_celsius

IN_MEMORY = 8 << 20
PIECE = 1 << 16
_KEY = (
    ("plan", "planned"),
    ("usual", "usual"),
    ("seen", "observed: ended by a strike"),
    ("called", "called: ended by the clock"),
    ("told", "told afterwards, or timed away"),
)


def report(plates: Iterable[PlateRecord], title: str) -> Iterator[bytes]:
    """Yield the page. `plates` is gone through once: their sections wait in a temporary file, beyond
    `IN_MEMORY` bytes on the disk, until the contents and the trends that stand before them are known.
    """
    yield from opening(title, "report.css")
    yield f"<h1>{typed(title)}</h1>\n".encode()
    contents: list[str] = []
    charts = Charts()
    with SpooledTemporaryFile(IN_MEMORY) as sections:
        for record in plates:
            contents.append(_entry(record))
            charts.add(record)
            sections.write("".join(_plate(record)).encode())
        if len(contents) > 1:
            words = ("plate", "begun", "process", "subject", "stars", "stands")
            head = "<tr>" + "".join(f"<th>{word}</th>" for word in words) + "</tr>"
            yield f'<table class="contents">\n{head}\n{"".join(contents)}</table>\n'.encode()
        yield _together(charts).encode()
        sections.seek(0)
        yield from iter(lambda: sections.read(PIECE), b"")
    yield from closing()


def _together(charts: Charts) -> str:
    figures = []
    for picture, drawn in charts.figures():
        name = picture.title + (f", {picture.about}" if picture.about else "")
        says = "; ".join(picture.says)
        figures.append(f"<figure>\n{drawn}\n<figcaption>{typed(name)}: {typed(says)}</figcaption></figure>\n")
    return f"<h2>Trends</h2>\n<div>{''.join(figures)}</div>\n" if figures else ""


def _entry(record: PlateRecord) -> str:
    start = record.log.start
    cells = (
        f'<a href="#p{escape(record.log.plate)}">{escape(record.title)}</a>',
        escape(moment(start.at)[:16] if start else ""),
        typed(record.process or ""),
        typed(start.subject if start and start.subject else ""),
        _stars(record),
        escape(_stands(record)),
    )
    return "<tr>" + "".join(f"<td>{cell}</td>" for cell in cells) + "</tr>\n"


def _stars(record: PlateRecord) -> str:
    stars = record.judged.stars
    return "" if stars is None else f"{stars} of 5"


def _stands(record: PlateRecord) -> str:
    ended = record.log.ended
    if ended is not None:
        return ended.how
    return record.account.now or "not known"


def _plate(record: PlateRecord) -> Iterator[str]:
    yield f'<section class="plate" id="p{escape(record.log.plate)}">\n'
    subject = record.log.start.subject if record.log.start else None
    yield f"<h2>{escape(record.title)}{': ' + typed(subject) if subject else ''}</h2>\n<dl>\n"
    for name, value in _facts(record):
        if value:
            yield f"<dt>{escape(name)}</dt><dd>{typed(value)}</dd>\n"
    yield "</dl>\n"
    if record.problems:
        yield "<h3>Problems of its journal</h3>\n"
        yield '<ul class="wrong">' + "".join(f"<li>{typed(one)}</li>" for one in record.problems) + "</ul>\n"
    drawn = drawing(record)
    if drawn:
        yield drawn + _legend()
    if record.account.stages:
        yield _stages(record.account)
    for heading, said in (
        ("Readings and settings", record.account.readings),
        ("Moments", record.account.moments),
        ("Taken back", record.account.taken_back),
        ("Words and judgements", record.account.words),
        ("From a newer darkroom", record.account.newer),
    ):
        if said:
            yield (
                f"<h3>{heading}</h3>\n<ul>"
                + "".join(_said(one, record.log.local_date) for one in said)
                + "</ul>\n"
            )
    yield "</section>\n"


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
        for name in ("who", "size", "lens"):
            yield name, getattr(start, name)
        yield "aperture", record.aperture
        yield "light", start.light
        yield "bottles", ", ".join(f"{what} {which}" for what, which in (start.bottles or {}).items())
        given = "" if record.exposed is None else f"; given {say_duration(record.exposed)}"
        away = ", timed away" if start.timed == "away" else ""
        yield "exposure", f"{account.exposure or 'until a strike'}{given}{away}"
    if account.wet_used is not None and account.wet_about is not None:
        yield "wet time", f"{show_duration(account.wet_used)} of about {show_duration(account.wet_about)}"
    yield "stars", _stars(record)
    if judged.exposure_stops is not None:
        yield (
            "next plate",
            f"{judged.exposure_stops:+g} {'stop' if abs(judged.exposure_stops) == 1 else 'stops'}",
        )
    yield "best strip", None if judged.best_strip is None else str(judged.best_strip)
    yield "faults", "\n".join(fault.text for fault in judged.faults)
    yield "notes", "\n".join(judged.notes)
    yield from judged.details
    if account.estimated:
        yield "times", "estimated: the machine was started again in between"
    yield "journal", record.log.path.name


def _swatch(kind: str) -> str:
    return ElementTree.tostring(rect(kind, 1, 1, 24, 9), encoding="unicode")


def _legend() -> str:
    keys = (f'<span><svg viewBox="0 0 26 11">{_swatch(kind)}</svg>{words}</span>' for kind, words in _KEY)
    return (
        f'\n<p class="key">{"".join(keys)}<span>m mark, u taken back</span>'
        "<span>broken line of temperature: assumed, not read</span></p>\n"
    )


def _stages(account: Account) -> str:
    heads = ("stage", "begun", "planned", "took", "end", "known", "temperature")
    strikes = late(account)
    rows = "".join(
        _row(stage, [strike for strike in strikes if strike.index == index])
        for index, stage in enumerate(account.stages)
    )
    return (
        "<h3>Stages</h3>\n<table>\n<tr>"
        + "".join(f"<th>{head}</th>" for head in heads)
        + f"</tr>\n{rows}</table>\n"
    )


def _row(stage: StageAccount, strikes: list[Late]) -> str:
    took = stage_text.took(stage)
    for strike in strikes:
        took += f", {strike.words}"
    heat = ""
    if stage.celsius is not None:
        words = f"{typed(stage.source)} {show_celsius(stage.celsius)}, {typed(stage.origin)}"
        heat = f'<span class="assumed-value">{words}</span>' if stage.origin == "assumed" else words
    begun = clock(stage.started) if stage.started else ""
    planned = stage_text.planned(stage, "usual ")
    return (
        f'<tr><td>{typed(stage.stage)}</td><td class="number">{escape(begun)}</td><td>{planned}</td>'
        f"<td>{took}</td><td>{HOW[stage.how]}</td><td>{SEEN[stage.how]}</td><td>{heat}</td></tr>\n"
    )


def _said(said: AccountLine, day: str) -> str:
    return f"<li>{escape(clock(said.at))}  {typed(said.with_day(day))}</li>"
