"""A plate's account as lines of text."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from darkroom.bench import events as ev
from darkroom.event_base import Newer
from darkroom.log.journal.merge import PlateLog
from darkroom.log.plate import bottle_text
from darkroom.log.plate.account import StageAccount, wet_text
from darkroom.log.plate.account_lines import AccountLine, origin
from darkroom.log.plate.late_strikes import late
from darkroom.log.plate.line_text import clean, wall
from darkroom.log.plate.own_speed import speed_facts
from darkroom.log.plate.record import PlateRecord
from darkroom.log.plate.scene_text import aperture_text, light_text, lost_text, place_text, proposed_text
from darkroom.log.plate.stage_text import ended, planned, temperature, took
from darkroom.process.text.temperatures import show_celsius


def account_text_lines(record: PlateRecord) -> Iterator[str]:
    """Yield the account of a plate, line by line."""
    log, account = record.log, record.account
    yield from map(clean, _header(record))
    if account.stages:
        yield ""
        yield from map(clean, _table(account.stages))
        yield from (clean(f"{strike.stage} {strike.words}") for strike in late(account))
    if account.trouble is not None:
        yield clean(f"the stages cannot be told: {account.trouble}")
        yield from map(clean, _raw(log))
    wet = wet_text(account)
    if wet is not None:
        yield ""
        yield f"wet time: {wet}"
    for heading, section in (
        ("readings and settings", account.readings),
        ("moments", account.moments),
        ("taken back", account.taken_back),
        ("notes", account.words),
        ("from a newer darkroom", account.newer),
    ):
        if section:
            yield ""
            yield heading
            yield from (clean(f"  {_moment_line(account_line, log.local_date)}") for account_line in section)


def _header(record: PlateRecord) -> Iterator[str]:
    log, account = record.log, record.account
    start, ended = log.start, log.ended
    if start is None:
        yield f"plate {log.plate}: its first line is lost"
        yield f"  file        {log.path}"
        return
    kind = "rehearsal" if start.rehearsal else "plate"
    yield f"{kind} {start.number}   {log.plate}"
    ended_text = "on the bench" if ended is None else f"{wall(ended.at)}, {ended.how}"
    if ended is not None and ended.reason:
        ended_text += f": {ended.reason}"
    rows = [
        ("process", str(start.process.get("name", "?"))),
        ("begun", wall(start.at)),
        ("stands", account.now) if ended is None and account.now else ("ended", ended_text),
        *((name, getattr(start, name)) for name in ("subject", "who", "size", "lens", "camera", "holder")),
        ("aperture", aperture_text(record.scene, record.aperture)),
        ("light", light_text(record.scene, start.light)),
        ("light lost", lost_text(record.scene)),
        ("place", place_text(record.scene)),
        ("bottles", bottle_text.names_text(record)),
        ("bottle ids", bottle_text.ids_text(record)),
        (
            "exposure",
            account.exposure and f"{account.exposure}{', timed away' if start.timed == 'away' else ''}",
        ),
        ("proposed", proposed_text(start.proposed)),
        *speed_facts(record),
        ("at first", _first_readings(start)),
        ("times", "estimated: the computer was started again in between" if account.estimated else None),
        ("file", "; ".join(map(str, log.files))),
    ]
    yield from (f"  {name:10}  {value}" for name, value in rows if value)


def _first_readings(start: ev.PlateStarted) -> str:
    texts = [
        f"{source} {show_celsius(celsius)} ({origin(where)})"
        for source, (celsius, where) in start.temperatures.items()
    ]
    if start.humidity is not None:
        texts.append(f"humidity {start.humidity[0]:g} % ({origin(start.humidity[1])})")
    return ", ".join(texts)


def _table(stages: tuple[StageAccount, ...]) -> Iterator[str]:
    rows = [("stage", "begun", "planned", "took", "ended", "temperature")]
    rows += [_row(stage) for stage in stages]
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    for row in rows:
        yield "  ".join(f"{cell:{width}}" for cell, width in zip(row, widths, strict=True)).rstrip()


def _row(stage: StageAccount) -> tuple[str, str, str, str, str, str]:
    begun = _clock(stage.started) if stage.started else ""
    return stage.stage, begun, planned(stage), took(stage), ended(stage), temperature(stage)


def _raw(log: PlateLog) -> Iterator[str]:
    for line in log.events:
        name = line.event if isinstance(line, Newer) else str(line.__struct_config__.tag)
        yield f"  {line.n:4}  {wall(line.at)}  {name}"


def _moment_line(account_line: AccountLine, day: str) -> str:
    return f"{_clock(account_line.at)}  {account_line.with_day(day)}"


def _clock(at: str) -> str:
    try:
        return f"{datetime.fromisoformat(at):%H:%M:%S}"
    except ValueError:
        return at
