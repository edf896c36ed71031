"""What can happen to a bottle: the lines of the book of bottles, one struct each. Pure.

Names and members are a contract with every file on disk: never renamed, never retyped; new members are
optional. Every line carries `n` (1, 2, 3 … within its file), `at` (wall time of the writing, RFC 3339 with
offset and milliseconds) and `up` (None). `when` is the instant at which it happened, where that is not `at`.
Volumes are mL, masses g, strengths % w/v of the substance of the recipe, temperatures °C.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from darkroom.event_base import Event, Newer

SCHEMA = 1

WHATS = (
    "collodion", "bath", "developer", "fixer", "substratum", "intensifier", "varnish", "cleaning", "edging",
    "stock", "other",
)  # fmt: skip
"""What can be in a bottle. A `stock` is a strong solution to make others from."""
TREATMENTS = ("filtered", "sunned", "iodised", "boiled_down", "acid", "alkali")
"""What is done to a bottle's content, `how` of a `treated` line."""

MEASURES = (
    "density", "sg", "sg_60f", "baume", "silver_us", "silver_imperial", "assay", "ph", "volume",
)  # fmt: skip
"""What is measured, `what` of a `measured` line: scales of hydrometers, and others."""

What = Literal[
    "collodion", "bath", "developer", "fixer", "substratum", "intensifier", "varnish", "cleaning", "edging",
    "stock", "other",
]  # fmt: skip


class BottleLine(Event, frozen=True, kw_only=True, omit_defaults=True, gc=False):
    """What every line of a bottle carries.

    Lines refer to nothing that refers back, so the garbage collector need not look at thousands of them.
    """

    when: str | None = None


class Made(BottleLine, frozen=True, kw_only=True, omit_defaults=True):
    """The bottle was filled: the first line of its life.

    `what` is one of WHATS; `recipe` is the name of the recipe's file without its ending; `from_` are the ids
    of bottles whose content went into it. `ripens` is how many days it ripens before it is used, from the
    recipe. `used` says that it made plates before it came into the book.
    """

    bottle: str
    name: str
    what: str
    schema: int
    version: str
    bench: str
    recipe: str | None = None
    batch: str | None = None
    volume: float | None = None
    strength: float | None = None
    ripens: float | None = None
    from_: tuple[str, ...] = msgspec.field(name="from", default=())
    used: bool = False


class Opened(BottleLine, frozen=True, kw_only=True, omit_defaults=True):
    """The bottle was opened: it is in use from here on."""


class Treated(BottleLine, frozen=True, kw_only=True, omit_defaults=True):
    """Something was done to the content: `how` is one of TREATMENTS, `amount` in words."""

    how: str
    amount: str | None = None


class ToppedUp(BottleLine, frozen=True, kw_only=True, omit_defaults=True):
    """Crystals, water or a stronger stock went in; `volume` is what the bottle holds since.

    `grams` of crystals, `water` mL, `stock` mL of `stock_strength` % w/v from the bottle `from`. `strength`
    is what it was brought to by reckoning; `reckoned` says that nothing was measured for it: what went in was
    told, and added up.
    """

    grams: float | None = None
    water: float | None = None
    stock: float | None = None
    stock_strength: float | None = None
    from_: str | None = msgspec.field(name="from", default=None)
    volume: float | None = None
    strength: float | None = None
    reckoned: bool = False


class Measured(BottleLine, frozen=True, kw_only=True, omit_defaults=True):
    """Something was measured: `what` is one of MEASURES.

    `value` is in the unit of that scale (g/mL; grains to the US or imperial ounce; an assay in % w/v; mL),
    `celsius` the temperature of the reading. `strength` is the % w/v that was computed from it then.
    """

    what: str
    value: float
    celsius: float | None = None
    strength: float | None = None
    reason: str | None = None


class DrawnOff(BottleLine, frozen=True, kw_only=True, omit_defaults=True):
    """`volume` mL were taken out, into the bottle `to` where that is kept."""

    volume: float | None = None
    to: str | None = None


class SetAside(BottleLine, frozen=True, kw_only=True, omit_defaults=True):
    """The bottle is out of use for now."""

    reason: str | None = None


class TakenUp(BottleLine, frozen=True, kw_only=True, omit_defaults=True):
    """The bottle is in use again."""


class Discarded(BottleLine, frozen=True, kw_only=True, omit_defaults=True):
    """The content is gone: collected as waste, or poured away where that is allowed."""

    reason: str | None = None


class Postponed(BottleLine, frozen=True, kw_only=True, omit_defaults=True):
    """The care `care` (an id of the recipe's) is put off until an instant."""

    care: str
    until: str
    reason: str | None = None


class Withdrawn(BottleLine, frozen=True, kw_only=True, omit_defaults=True):
    """The line `corrects` (`<bench>:<n>`) does not count; a withdrawal can be withdrawn."""

    corrects: str
    reason: str | None = None


class RecipeNamed(BottleLine, frozen=True, kw_only=True, omit_defaults=True):
    """The recipe whose care the bottle has from here on, by the name of its file without its ending."""

    recipe: str


class Note(BottleLine, frozen=True, kw_only=True, omit_defaults=True):
    """Words about the bottle."""

    text: str


BottleEvent = (
    Made
    | Opened
    | Treated
    | ToppedUp
    | Measured
    | DrawnOff
    | SetAside
    | TakenUp
    | Discarded
    | Postponed
    | Withdrawn
    | RecipeNamed
    | Note
)
READER: msgspec.json.Decoder[BottleEvent] = msgspec.json.Decoder(BottleEvent)
"""Reads a line's event; made at import, see `darkroom.bench.events.READER`."""


class BottleEntry(msgspec.Struct, frozen=True, kw_only=True, gc=False):
    """One line of the book where it stands: `place` is `<bench>:<n>`, as a correction names it.

    `instant` is when it happened, seconds since the epoch; `happened` the same as RFC 3339 text.
    """

    place: str
    bench: str
    instant: float
    happened: str
    event: BottleEvent | Newer
