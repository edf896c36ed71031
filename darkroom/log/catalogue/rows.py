"""The rows that the catalogue keeps of a plate, from the fold of its journal."""

from __future__ import annotations

import zlib
from functools import lru_cache

import msgspec

from darkroom.bench import events as ev
from darkroom.bench import shared_process
from darkroom.bench.bottles import Bottle
from darkroom.bench.exposure import plan_text
from darkroom.bench.state import PlateState
from darkroom.errors import Problem
from darkroom.exposure.judged import LeftOut
from darkroom.log.catalogue.fault_rows import looked_for_text
from darkroom.log.catalogue.stage_rows import reading_rows, stage_rows, stages_of
from darkroom.log.journal.merge import PlateLog
from darkroom.log.plate import bottle_text
from darkroom.log.plate.account import Folded, WetTimes, folded, measured, wet_times
from darkroom.log.plate.bottle_uses import bottle_uses
from darkroom.log.plate.faults import JudgedFault
from darkroom.log.plate.first_seen import first_seen
from darkroom.log.plate.judged_exposure import judged_exposure, stages_asked
from darkroom.log.plate.record import Judged, PlateRecord, judge
from darkroom.log.store.paths import printable
from darkroom.process.scene import Scene
from darkroom.process.text.instants import instant_of

Value = str | float | int | None


class PlateRows(msgspec.Struct, frozen=True, kw_only=True):
    """The rows of one plate, by table; `plate` is {column: value} of its own row.

    `process` is (sum, name, JSON) of the process as it was then, or None when it is lost. `exposure` is
    (plate, number, a `JudgedPlate` as MessagePack or None, why it is left out or None) of a plate whose
    exposure was judged: MessagePack has the open ends of an interval, which JSON has not.
    """

    plate: dict[str, Value]
    stages: list[tuple[Value, ...]] = []
    readings: list[tuple[Value, ...]] = []
    faults: tuple[JudgedFault, ...] = ()
    problems: list[tuple[Value, ...]] = []
    process: tuple[str, str, str] | None = None
    exposure: tuple[str, int, bytes | None, str | None] | None = None
    uses: list[tuple[Value, ...]] = []


def plate_rows_of(log: PlateLog, collection: str) -> PlateRows:
    """Return the rows of a plate. Raises nothing: lost values are None.

    Seconds, °C, per cent; wall times are text as the journal has it, `moment` is seconds since the epoch.
    """
    problems = list(log.problems)
    fold_result = folded(log)
    state = fold_result.state
    if state is None and log.events:
        trouble = f"the stages cannot be told: {fold_result.trouble}"
        problems.append(Problem(printable(log.path), None, None, trouble))
    start = _start(log, state)
    ended = state.ended if state is not None else log.ended
    judged = judge(log.standing)
    process = _process(start)
    taken = bottle_text.taken(state, start)
    wet = (None, None) if state is None else wet_times(state)
    row: dict[str, Value] = {
        **_trend_values(log, state, judged, taken, wet),
        "shelf": collection,
        "ended": ended.at if ended else None,
        "how": ended.how if ended else None,
        "reason": ended.reason if ended else None,
        "place": None if ended else "rack" if (state.racked if state else log.racked) else "bench",
        "files": msgspec.json.encode([printable(file) for file in log.files]).decode(),
        "proposed": _proposed(state, start),
        "first_seen": first_seen(log, state, judged),
    }
    names = [bottle.name for bottle in taken.values() if bottle.name]
    row["words"] = _search_text(row, judged, state.scene if state is not None else None, names)
    return PlateRows(
        plate=row,
        process=process,
        stages=stage_rows(state),
        readings=reading_rows(state),
        faults=judged.faults,
        problems=[(problem.file, problem.line, problem.key, problem.what) for problem in problems],
        exposure=_exposure(_measured(log, fold_result, judged, wet)),
        uses=[msgspec.structs.astuple(use) for use in bottle_uses(log, state)],
    )


def trend_rows_of(record: PlateRecord) -> PlateRows:
    """Return those of a plate's rows that trends are made of, equal to those of `plate_rows_of`.

    Its own row is without the words that are looked for and without what only a list of plates shows; it has
    no process and no problems. What the record has is not worked out again. Raises nothing.
    """
    log, state, judged = record.log, record.state, record.judged
    wet = (None, None) if state is None else wet_times(state)
    return PlateRows(
        plate=_trend_values(log, state, judged, bottle_text.taken(state, _start(log, state)), wet),
        stages=stage_rows(state),
        readings=reading_rows(state),
        faults=judged.faults,
        exposure=_exposure(record),
        uses=[msgspec.structs.astuple(use) for use in bottle_uses(log, state)],
    )


def _start(log: PlateLog, state: PlateState | None) -> ev.PlateStarted | None:
    return state.start if state is not None else log.start


def _trend_values(
    log: PlateLog, state: PlateState | None, judged: Judged, taken: dict[str, Bottle], wet: WetTimes
) -> dict[str, Value]:
    """Return the columns of a plate's own row that trends ask for, and those that come with them."""
    start = _start(log, state)
    process = _process(start)
    return {
        "path": printable(log.path),
        "plate": log.plate,
        "day": log.local_date,
        **_started(start),
        "fixer": taken["fixer"].name if "fixer" in taken else None,
        "process_sum": process[0] if process else None,
        **_from_state(state, start, wet),
        **_judged(judged),
    }


def _measured(log: PlateLog, fold_result: Folded, judged: Judged, wet: WetTimes) -> PlateRecord | None:
    """Return what `judged_exposure` needs of a record; None of a plate whose exposure nobody judged."""
    if not judged.exposure_judged:
        return None
    state = fold_result.state
    account = measured(fold_result, () if state is None else stages_asked(state.process), wet)
    return PlateRecord(log=log, account=account, state=state, judged=judged)


def _exposure(record: PlateRecord | None) -> tuple[str, int, bytes | None, str | None] | None:
    """Return what a plate says of the exposure."""
    said = None if record is None else judged_exposure(record)
    if said is None:
        return None
    if isinstance(said, LeftOut):
        return said.plate, said.number, None, said.reason
    try:
        return said.plate, said.number, msgspec.msgpack.encode(said), None
    except (OverflowError, UnicodeEncodeError):  # a hand has changed the journal: no tool writes such
        return said.plate, said.number, None, "its journal holds a number or a sign that no table can keep"


def _process(start: ev.PlateStarted | None) -> tuple[str, str, str] | None:
    return None if start is None else _process_row(shared_process.text_of(start.process))


@lru_cache(maxsize=16)
def _process_row(body: bytes) -> tuple[str, str, str]:
    name = msgspec.json.decode(body).get("name", "")
    return f"{zlib.crc32(body):08x}{len(body):x}", str(name), body.decode()


def _started(start: ev.PlateStarted | None) -> dict[str, Value]:
    if start is None:
        names = (
            "number", "process", "started", "moment", "subject", "who", "size", "lens", "light",
            "camera", "holder",
        )  # fmt: skip
        return dict.fromkeys(names)
    name = start.process.get("name")
    return {
        "number": start.number,
        "process": None if name is None else str(name),
        "started": start.at,
        "moment": instant_of(start.at),
        "subject": start.subject,
        "who": start.who,
        "size": start.size,
        "lens": start.lens,
        "light": start.light or (start.scene.light if start.scene else None),
        "camera": start.camera,
        "holder": start.holder,
    }


def _from_state(state: PlateState | None, start: ev.PlateStarted | None, wet: WetTimes) -> dict[str, Value]:
    if state is None:
        return {
            "aperture": start.aperture if start else None,
            "exposure": None,
            "exposed": None,
            "wet_used": None,
            "wet_about": None,
            "humidity": None,
            "humidity_from": None,
            "estimated": 0,
            **_scene(start.scene if start else None),
        }
    used, about = wet
    humidity = state.humidity[-1] if state.humidity else (0.0, None, None)
    return {
        "aperture": state.aperture,
        "exposure": plan_text(state.plan),
        "exposed": _exposed(state),
        "wet_used": used,
        "wet_about": about,
        "humidity": humidity[1],
        "humidity_from": humidity[2],
        "estimated": int(state.estimated),
        **_scene(state.scene),
    }


def _proposed(state: PlateState | None, start: ev.PlateStarted | None) -> float | None:
    """Return the seconds that were proposed; of a test plate or flashes none: they cannot be compared."""
    if start is None or start.proposed is None:
        return None
    plan = start.plan if state is None else state.plan
    return start.proposed.seconds if plan is None or plan.seconds is not None else None


def _scene(scene: Scene | None) -> dict[str, Value]:
    return {"f_number": scene.f_number if scene else None, "ev": scene.ev if scene else None}


def _exposed(state: PlateState) -> float | None:
    """Return for how many seconds the lens was open, once the exposure was made."""
    opens_lens = stages_of(state.process).open_lens
    for done in state.done:
        if done.stage in opens_lens and done.how != "skipped":
            if done.unseen and done.exposed is None:  # nobody saw the cap go on, and nobody has told it
                return None
            return round(done.seconds if done.exposed is None else done.exposed, 3)
    return None


def _judged(judged: Judged) -> dict[str, Value]:
    return {
        "stars": judged.stars,
        "exposure_stops": judged.exposure_stops,
        "best_strip": judged.best_strip,
        "exposure_word": judged.exposure_word,
        "nothing_else": looked_for_text(judged.nothing_else),
        "next": judged.detail("next"),
        "scan": judged.detail("scan") or judged.detail("picture"),
    }


def _search_text(row: dict[str, Value], judged: Judged, scene: Scene | None, bottle_names: list[str]) -> str:
    """Return the text in which a query's words are looked for."""
    names = (
        "number",
        "plate",
        "day",
        "process",
        "subject",
        "who",
        "size",
        "lens",
        "light",
        "aperture",
        "exposure",
        "how",
        "reason",
        "camera",
        "holder",
    )
    texts = [str(row[name]) for name in names if row[name] is not None]
    texts += [
        *(text for fault in judged.faults for text in (fault.text, fault.cause) if text),
        *bottle_names,
        *judged.notes,
        *(f"{key}: {value}" for key, value in judged.details),
    ]
    if scene is not None:
        texts += [words for words in (scene.light, scene.kind, scene.place, scene.sky) if words]
    return "\n".join(texts).casefold()
