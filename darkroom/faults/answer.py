"""Why a plate failed, as values: the causes with their chances and what speaks for and against. Pure."""

from __future__ import annotations

from typing import Literal

import msgspec

from darkroom.faults.history import MarkedFault


class Weighed(msgspec.Struct, frozen=True, kw_only=True):
    """One figure, answer or outcome of a test and what it weighs; `of` is its name, `value` the figure's."""

    of: str
    says: str
    decibans: float
    value: float | None = None


class Likely(msgspec.Struct, frozen=True, kw_only=True):
    """A cause, the chance that it is at work, and why: `evidence` weighs most first.

    `silent` are the names of the evidence that the record does not hold. `confirmed` counts the plates of
    which the photographer said that it was this.
    """

    cause: str
    label: str
    chance: float
    evidence: tuple[Weighed, ...] = ()
    silent: tuple[str, ...] = ()
    confirmed: int = 0


class Advice(msgspec.Struct, frozen=True, kw_only=True):
    """The one recommendation: a change, a test to make first, or what to note next time.

    `cause` is the id of the cause it is for, `cautions` are said with it.
    """

    kind: Literal["change", "test", "note"]
    do: str
    cause: str | None = None
    cautions: tuple[str, ...] = ()


class Began(msgspec.Struct, frozen=True, kw_only=True):
    """When a fault began: the first of the run of plates with it, up to this one.

    `after` is the number of the judged plate of the process before it, without the fault; None without one.
    `new` says what was new since then, each in words: "developer D-4", "bath topped up"; `back` are bottles
    that earlier plates had and the one before had not: "developer D-3". `plates` is how many plates the run
    has, up to this one, `had_before` how many of the process had the fault before it.
    """

    fault: str
    plate: str
    number: int
    day: str
    plates: int
    after: int | None = None
    new: tuple[str, ...] = ()
    back: tuple[str, ...] = ()
    had_before: int = 0


class Since(msgspec.Struct, frozen=True, kw_only=True):
    """How it went on with a fault after the plate, on later judged plates of the process.

    `having` more had it in a row, up to the number `having_to`; then `lacking` had it not, from the number
    `lacking_from` on, which had `other` bottles, holder or camera: "developer D-4"; `again` had it again.
    """

    fault: str
    having: int = 0
    having_to: int | None = None
    lacking: int = 0
    lacking_from: int | None = None
    other: tuple[str, ...] = ()
    again: int | None = None


class FaultTally(msgspec.Struct, frozen=True, kw_only=True):
    """How many judged plates had a fault and how many had not, of one bottle, holder, camera or process."""

    fault: str
    kind: str
    name: str
    having: int
    lacking: int


class Why(msgspec.Struct, frozen=True, kw_only=True):
    """Why a plate failed.

    `faults` are those marked, `unknown` the names among them that are not in the catalogue and weigh nothing.
    `causes` are the likeliest first, `none` is the chance of no listed cause; both are empty and 1 without a
    known fault. `plates` counts the plates looked at, `usual_plates` those the usual is made of.
    `nearest_good` is the id of the plate without a fault that is most like this one.
    """

    plate: str
    number: int
    faults: tuple[MarkedFault, ...] = ()
    unknown: tuple[str, ...] = ()
    causes: tuple[Likely, ...] = ()
    none: float = 1.0
    advice: Advice | None = None
    began: tuple[Began, ...] = ()
    tallies: tuple[FaultTally, ...] = ()
    since: tuple[Since, ...] = ()
    confirmed: int = 0
    plates: int = 0
    usual_plates: int = 0
    nearest_good: str | None = None
