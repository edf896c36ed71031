"""A plate's account as lines of text."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from darkroom.bench import events as ev
from darkroom.log.journal.merge import PlateLog
from darkroom.log.plate.account import Account, AccountLine, StageAccount
from darkroom.log.plate.late_strikes import late
from darkroom.log.plate.record import HOW
from darkroom.log.plate.stage_text import planned, took
from darkroom.process.text.durations import show_duration
from darkroom.process.text.temperatures import show_celsius


def told(one: PlateLog, story: Account) -> Iterator[str]:
    """Yield the account of a plate, line by line."""
    yield from map(clean, _header(one, story))
    if story.stages:
        yield ""
        yield from map(clean, _table(story.stages))
        yield from (clean(f"{strike.stage} {strike.words}") for strike in late(story))
    if story.trouble is not None:
        yield clean(f"the stages cannot be told: {story.trouble}")
        yield from map(clean, _raw(one))
    if story.wet_used is not None or story.wet_about is not None:
        about = "" if story.wet_about is None else f" of about {show_duration(story.wet_about)}"
        used = (
            "not at the developer yet," if story.wet_used is None else show_duration(story.wet_used) + " used"
        )
        yield ""
        yield f"wet time: {used}{about}"
    for heading, said in (
        ("readings and settings", story.readings),
        ("moments", story.moments),
        ("taken back", story.taken_back),
        ("notes", story.words),
        ("from a newer darkroom", story.newer),
    ):
        if said:
            yield ""
            yield heading
            yield from (clean(f"  {_said(one_said, one.local_date)}") for one_said in said)


def _header(one: PlateLog, story: Account) -> Iterator[str]:
    start, ended = one.start, one.ended
    if start is None:
        yield f"plate {one.plate}: its first line is lost"
        yield f"  file        {one.path}"
        return
    kind = "rehearsal" if start.rehearsal else "plate"
    yield f"{kind} {start.number}   {one.plate}"
    end = "on the bench" if ended is None else f"{wall(ended.at)}, {ended.how}"
    if ended is not None and ended.reason:
        end += f": {ended.reason}"
    rows = [
        ("process", str(start.process.get("name", "?"))),
        ("begun", wall(start.at)),
        ("ended", end if ended is not None or story.now is None else story.now),
        *((name, getattr(start, name)) for name in ("subject", "who", "size", "lens", "aperture", "light")),
        ("bottles", ", ".join(f"{what} {which}" for what, which in (start.bottles or {}).items()) or None),
        ("exposure", story.exposure and f"{story.exposure}{', timed away' if start.timed == 'away' else ''}"),
        ("at first", _first_readings(start)),
        ("times", "estimated: the machine was started again in between" if story.estimated else None),
        ("file", "; ".join(map(str, one.files))),
    ]
    yield from (f"  {name:10}  {value}" for name, value in rows if value)


def _first_readings(start: ev.PlateStarted) -> str:
    said = [
        f"{source} {show_celsius(celsius)} ({origin})"
        for source, (celsius, origin) in start.temperatures.items()
    ]
    if start.humidity is not None:
        said.append(f"humidity {start.humidity[0]:g} % ({start.humidity[1]})")
    return ", ".join(said)


def _table(stages: tuple[StageAccount, ...]) -> Iterator[str]:
    rows = [("stage", "begun", "planned", "took", "ended", "temperature")]
    rows += [_row(stage) for stage in stages]
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    for row in rows:
        yield "  ".join(f"{cell:{width}}" for cell, width in zip(row, widths, strict=True)).rstrip()


def _row(stage: StageAccount) -> tuple[str, str, str, str, str, str]:
    heat = "" if stage.celsius is None else f"{stage.source} {show_celsius(stage.celsius)}, {stage.origin}"
    begun = _clock(stage.started) if stage.started else ""
    return stage.stage, begun, planned(stage), took(stage), HOW.get(stage.how, stage.how), heat


def _raw(one: PlateLog) -> Iterator[str]:
    for line in one.events:
        name = line.event if isinstance(line, ev.Newer) else str(line.__struct_config__.tag)
        yield f"  {line.n:4}  {wall(line.at)}  {name}"


def _said(said: AccountLine, day: str) -> str:
    return f"{_clock(said.at)}  {said.with_day(day)}"


def wall(at: str) -> str:
    """Return a wall time as "2026-03-01 14:05:09 +01:00", in the offset it was written with."""
    try:
        moment = datetime.fromisoformat(at)
    except ValueError:
        return at
    return moment.isoformat(sep=" ", timespec="seconds").replace("+", " +")


def _clock(at: str) -> str:
    try:
        return f"{datetime.fromisoformat(at):%H:%M:%S}"
    except ValueError:
        return at


def clean(text: str) -> str:
    """Return text without control characters: what was typed must not steer the terminal."""
    return "".join(sign if sign.isprintable() else " " for sign in text)
