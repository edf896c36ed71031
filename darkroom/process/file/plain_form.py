"""A process to and from the plain form of a journal: what reads no process file needs no more. Pure.

from_plain(to_plain(process)) == process
"""

from __future__ import annotations

import math
from typing import Any

import msgspec

from darkroom.errors import Problem, ProcessError
from darkroom.process.model import Process, Reference, Stage


def to_plain(process: Process) -> dict[str, Any]:
    """Return the process as a journal stores it: the file's keys, seconds and °C as numbers."""
    plain: dict[str, Any] = msgspec.json.decode(msgspec.json.encode(process))
    return plain


def from_plain(plain: Any) -> Process:
    """Return the process of a journal's plain form.

    Raises ProcessError when a member is of the wrong type or names a stage that is not there. The rules
    for files are not applied again: what a plate went through is kept as it was.
    """
    try:
        process = msgspec.convert(plain, Process)
    except (msgspec.ValidationError, ValueError, TypeError) as error:
        raise ProcessError([Problem("journal", None, "process", str(error))]) from error
    problem = _loose_end(process)
    if problem:
        raise ProcessError([Problem("journal", None, "process", problem)])
    return process


def _loose_end(process: Process) -> str | None:
    names = [stage.name for stage in process.stages]
    if not names or len(set(names)) < len(names):
        return "the stages are missing, or one is named twice"
    spans = [span for span in (process.sensitive, process.wet_window) if span is not None and span != "never"]
    for span in spans:
        if span.from_ not in names or span.to not in names or names.index(span.from_) >= names.index(span.to):
            return f"'{span.from_}' to '{span.to}' is no span of its stages"
    window = process.wet_window
    if window and not (window.time > 0 and window.longest > 0 and window.humidity < 100):
        return "the wet window has no length"
    for stage in process.stages:
        if not all(seconds > 0 and math.isfinite(seconds) for seconds in _seconds(stage)):
            return f"a time of '{stage.name}' is not above zero"
        if not _told_whole(stage):
            return f"a table or range of '{stage.name}' is not whole"
    return None


def _told_whole(stage: Stage) -> bool:
    """Whether a table has rows, and a usual range is two times or a table of them."""
    usual = stage.expect
    if usual is None:
        return stage.time != ()
    rows = sum(not isinstance(row, float) for row in usual)
    return stage.time != () and len(usual) > 0 and (rows == len(usual) or (not rows and len(usual) == 2))


def _seconds(stage: Stage) -> list[float]:
    """Return the numbers of a stage that must lie above zero."""
    law = stage.time
    numbers = [law] if isinstance(law, float) else []
    if isinstance(law, Reference):
        numbers = [law.is_, law.coefficient]
    elif isinstance(law, tuple):
        numbers = [seconds for _, seconds in law]
    for row in stage.expect or ():
        numbers += [row] if isinstance(row, float) else row[1]
    every = stage.repeat.every if stage.repeat is not None else None
    return numbers + [
        number for number in (stage.clearing_factor, stage.lead_in, every) if number is not None
    ]
