"""What a plate's journal leads to, as plain values: for comparing versions of the tool with each other.

Everything is taken by attribute and given a name of its own here, so that a class may be renamed. The
names and their meaning are fixed, as the files that hold them are: a new attribute of a plate gets a
function of its own, it is not added to these.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from click.testing import CliRunner

from darkroom.bench import clocks, exposure, light
from darkroom.bench.fold import apply, fold
from darkroom.bench.standing import standing
from darkroom.bench.state import PlateState
from darkroom.log.journal.frame import encode
from darkroom.log.journal.merge import PlateLog, read_plate

FIXTURES = Path(__file__).parent.parent / "fixtures"
HOME = FIXTURES / "journals"
"""A folder of the log, as it lies under DARKROOM_HOME."""
STATES = HOME / "states.json"
PROCESSES = FIXTURES / "processes"
TEMPERATURES = ("assumed", "bath=18C,developer=24C,room=27C")
"""The cases that the times of a process are kept for: what the file assumes, and a warm room at 35 %."""
AFTER = (0.0, 5.0, 12.0, 60.0, 300.0)
"""The light and the open lens are looked at so many seconds after the present phase began."""
NEAR = 2e-6
"""Seconds and °C are kept to the microsecond: the last digit may fall either way."""


def snapshot(log: PlateLog, home: Path) -> dict[str, Any]:
    """Return what is read of a plate: its journal, what is wrong with it, its state and its course."""
    ended = log.ended
    stands = {line.n for line in standing(log.events)}
    found: dict[str, Any] = {
        "files": [str(path.relative_to(home)) for path in log.files],
        "problems": problems(log, home),
        "local_date": log.local_date,
        "schema": log.schema,
        "last_n": log.last_n,
        "rehearsal": log.rehearsal,
        "on_rack": log.racked,
        "ended": None if ended is None else ended.how,
        "torn_bytes": len(log.torn),
        "taken_back": [line.n for line in log.events if line.n not in stands],
        "not_the_same_bytes": not_the_same_bytes(log),
        "state": None,
        "course": [],
    }
    try:
        state = fold(log.events)
    except ValueError as error:
        found["no_state"] = str(error)
    else:
        found["state"] = {**attributes(state), **derived(state)}
        found["course"] = list(course(log))
    return plain(found)


def problems(log: PlateLog, home: Path) -> list[str]:
    """Return the problems of a journal in words, with paths from the folder of the log."""
    return [str(problem).replace(f"{home}/", "") for problem in log.problems]


def not_the_same_bytes(log: PlateLog) -> list[int]:
    """Return the numbers of the lines that are not written as they were read: newer ones, as a rule."""
    found = []
    for event in log.events:
        try:
            written = encode(event)  # type: ignore[arg-type]
        except (AssertionError, AttributeError):  # an event that this version does not know
            written = b""
        if written != log.frames[event.n] + b"\n":
            found.append(event.n)
    return found


def attributes(state: PlateState) -> dict[str, Any]:
    """Return the state of a plate."""
    ended, refused, plan = state.ended, state.refused, state.plan
    return {
        "plate": state.plate,
        "number": state.number,
        "index": state.index,
        "stage": state.stage.name,
        "phase": state.phase,
        "since": state.since,
        "lead_seconds": state.lead_seconds,
        "parts": [[part.started, part.planned, part.ended] for part in state.parts],
        "cleared_at": state.cleared_at,
        "held": state.held,
        "racked": state.racked,
        "on_bench": state.on_bench,
        "celsius_at_start": state.celsius_at_start,
        "temperatures": {source: list(trace) for source, trace in sorted(state.temperatures.items())},
        "humidity": list(state.humidity),
        "plan": None
        if plan is None
        else {
            "seconds": plan.seconds,
            "steps": plan.steps,
            "between": plan.between,
            "pops": plan.pops,
            "recycle": plan.recycle,
        },
        "aperture": state.aperture,
        "wet_time": state.wet_time,
        "wet_from": state.wet_from,
        "wet_until": state.wet_until,
        "done": [
            {
                "stage": done.stage,
                "started": done.started,
                "ended": done.ended,
                "planned": done.planned,
                "how": done.how,
                "celsius": done.celsius,
                "cleared": done.cleared,
                "exposed": done.exposed,
                "strips": done.strips,
                "seconds": done.seconds,
            }
            for done in state.done
        ],
        "automatic_at": state.automatic_at,
        "refused": None
        if refused is None
        else {
            "intent": refused[0],
            "reason": refused[1],
            "instant": refused[2],
        },
        "estimated": state.estimated,
        "ended": None if ended is None else {"how": ended.how, "reason": ended.reason, "at": ended.at},
        "marks": state.marks,
        "lines": len(state.lines),
        "last_n": state.last_n,
        "pace": state.pace,
    }


def derived(state: PlateState) -> dict[str, Any]:
    """Return the times that follow from a state, and the light at a few fixed instants."""
    looked = [state.since + after for after in AFTER]
    return {
        "zero": clocks.zero(state),
        "automatic_zero": clocks.automatic_zero(state),
        "planned": clocks.planned(state),
        "dry_instant": clocks.dry_instant(state),
        "sensitive": light.sensitive(state),
        "light": [light.plate_light(state, now) for now in looked],
        "exposed": [exposure.exposed(state, now) for now in looked] if state.parts else None,
    }


GROWING = ("temperatures", "humidity", "done", "marks")
"""What only grows, and is kept whole in the last state: on the way there it is counted."""


def course(log: PlateLog) -> Iterator[dict[str, Any]]:
    """Yield for each line after the first what it changed, its number with it."""
    state = fold(log.events[:1])
    before = _on_the_way(state)
    for line in log.events[1:]:
        state = apply(state, line)
        now = _on_the_way(state)
        yield {"n": line.n, **{name: value for name, value in now.items() if value != before[name]}}
        before = now


def _on_the_way(state: PlateState) -> dict[str, Any]:
    found = {**attributes(state), **derived(state)}
    found |= {name: len(found[name]) for name in GROWING}
    found["temperatures"] = sum(map(len, state.temperatures.values()))
    for name in ("lines", "last_n"):
        del found[name]
    return found


def plain(value: Any) -> Any:
    """Return the value as JSON has it, numbers to the microsecond."""
    if isinstance(value, float):
        return round(value, 6) + 0.0
    if isinstance(value, Mapping):
        return {name: plain(inner) for name, inner in value.items()}
    if isinstance(value, list | tuple):
        return [plain(inner) for inner in value]
    return value


def differences(expected: Any, found: Any, place: str = "") -> list[str]:
    """Return in words where two plain values differ by more than the last digit of a microsecond."""
    if isinstance(expected, dict) and isinstance(found, dict):
        names = [*expected, *(name for name in found if name not in expected)]
        return [
            told
            for name in names
            for told in (
                differences(expected[name], found[name], f"{place}.{name}")
                if name in expected and name in found
                else [f"{place}.{name}: {'not there now' if name in expected else 'was not there'}"]
            )
        ]
    if isinstance(expected, list) and isinstance(found, list) and len(expected) == len(found):
        return [
            told
            for position, (one, other) in enumerate(zip(expected, found, strict=True))
            for told in differences(one, other, f"{place}[{position}]")
        ]
    if _number(expected) and _number(found) and abs(expected - found) <= NEAR:
        return []
    return (
        [] if expected == found and type(expected) is type(found) else [f"{place}: {expected!r} → {found!r}"]
    )


def _number(value: Any) -> bool:
    return isinstance(value, float | int) and not isinstance(value, bool)


def states() -> dict[str, Any]:
    """Return the snapshots that were taken when the fixtures were written, by plate."""
    found: dict[str, Any] = json.loads(STATES.read_text(encoding="utf-8"))
    return found


def as_text(known: Mapping[str, Any]) -> str:
    """Return snapshots as JSON with a line for each member, and one for each line of a journal."""
    plates = []
    for plate, taken in sorted(known.items()):
        members = []
        for name, value in taken.items():
            text = json.dumps(value, ensure_ascii=False)
            if name == "course" and value:
                text = "[\n   " + ",\n   ".join(json.dumps(row, ensure_ascii=False) for row in value) + "]"
            if name == "state" and value:
                rows = (
                    f"{json.dumps(key)}: {json.dumps(one, ensure_ascii=False)}" for key, one in value.items()
                )
                text = "{\n   " + ",\n   ".join(rows) + "}"
            members.append(f"  {json.dumps(name)}: {text}")
        plates.append(f" {json.dumps(plate)}: {{\n" + ",\n".join(members) + "}")
    return "{\n" + ",\n".join(plates) + "\n}\n"


def read_old(taken: Mapping[str, Any], home: Path = HOME) -> PlateLog:
    """Return the plate of a snapshot as its journal is read now."""
    return read_plate(home / taken["files"][0])


def times(path: Path, temperatures: str) -> Any:
    """Return what `darkroom process times --json` tells of a file, at `assumed` or typed temperatures."""
    from darkroom.commands.process import process

    typed = [] if temperatures == "assumed" else ["--temperature", temperatures, "--humidity", "35"]
    told = CliRunner().invoke(process, ["times", str(path), *typed, "--json"], catch_exceptions=False)
    assert told.exit_code == 0, told.output
    return json.loads(told.output)
