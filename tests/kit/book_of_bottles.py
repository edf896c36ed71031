"""A book of bottles on disk, for tests: invented bottles with lines of some days."""

from __future__ import annotations

import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from darkroom.devices.clock import stamp
from darkroom.log.bottles.files import path_of, read_shelf
from darkroom.log.journal.frame import encode
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import Bottle
from tests.kit import bottle_lives

BENCH = "0123456789abcdef"
DAY = 86400.0


def put_bottle(
    home: Path,
    name: str,
    what: str = "bath",
    days: float = 70.0,
    happened: Sequence[tuple[float, Any, dict[str, Any]]] = (),
    **start: Any,
) -> str:
    """Write a bottle that was made so many days ago, with (day of its life, kind, members); return its id."""
    bottle = f"20260101-120000-{len(list((home / 'bottles').glob('*'))):06d}"
    made = time.time() - days * DAY
    first = {"bottle": bottle, "name": name, "what": what, "schema": 1, "version": "0", "bench": BENCH}
    lines = [(0.0, ev.Made, {**first, **start}), *happened]

    told = [
        kind(n=n, at=stamp(made + day * DAY), up=None, **members)
        for n, (day, kind, members) in enumerate(lines, 1)
    ]
    path = path_of(home, bottle, BENCH)
    path.parent.mkdir(parents=True, mode=0o700)
    path.write_bytes(b"".join(map(encode, told)))
    return bottle


def put_shelf(home: Path) -> dict[str, str]:
    """Write some bottles of every state; return {name: id}."""
    return {
        "B-1": put_bottle(
            home,
            "B-1",
            happened=bottle_lives.BATH,
            recipe="silver-bath",
            volume=1000.0,
            strength=9.0,
            ripens=2.0,
        ),
        "C-7": put_bottle(
            home, "C-7", "collodion", 20, [(7, ev.Opened, {})], recipe="collodion", ripens=7.0, volume=250.0
        ),
        "C-8": put_bottle(home, "C-8", "collodion", 2, ripens=7.0),
        "D-4": put_bottle(home, "D-4", "developer", 5, [(0, ev.Opened, {})], recipe="developer-summer"),
        "F-2": put_bottle(home, "F-2", "fixer", 40, recipe="hypo", volume=2000.0),
        "V-1": put_bottle(home, "V-1", "varnish", 90, [(30, ev.SetAside, {"reason": "too thick"})]),
        "B-0": put_bottle(home, "B-0", "bath", 200, [(100, ev.Discarded, {"reason": "oily"})]),
    }


def bottle_of(home: Path, bottle_id: str) -> Bottle:
    """Return a bottle as the book tells it now."""
    return read_shelf(home).bottles[bottle_id]
