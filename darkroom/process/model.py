"""The types of a checked process: what a process file says, as numbers.

Seconds, °C, per cent relative humidity, millilitres, millilitres per second and grams per
litre throughout. The structs keep the file's own keys, so `msgspec.to_builtins(process)` is
what a journal stores and `msgspec.convert(plain, Process)` brings it back.
"""

from __future__ import annotations

from typing import Literal

import msgspec

Light = Literal["white", "red", "covered"]
Ends = Literal["by_eye", "on_time", "at_zero", "cleared", "exposure"]
Starts = Literal["at_once", "on_strike"]
Early = Literal["free", "ask"]
Role = Literal[
    "collodion", "bath", "developer", "fixer", "fixer_2", "substratum", "intensifier", "varnish",
]  # fmt: skip
"""What stands at a stage: the bottle in this role is used by it."""

LIGHTS: tuple[Light, ...] = ("white", "red", "covered")
EARLY: tuple[Early, ...] = ("free", "ask")
ROLES: tuple[Role, ...] = (
    "collodion", "bath", "developer", "fixer", "fixer_2", "substratum", "intensifier", "varnish",
)  # fmt: skip
ENDS: tuple[Ends, ...] = ("by_eye", "on_time", "at_zero", "cleared", "exposure")
SOURCES = ("room", "bath", "developer", "water", "fixer")
HOLDS = ("silver", "ether", "acid", "alkali", "water", "hypo", "cyanide", "flame", "varnish")

Table = tuple[tuple[float, float], ...]
"""(°C, seconds) pairs, °C ascending."""


class Reference(msgspec.Struct, frozen=True, kw_only=True):
    """A time at one temperature and how it changes: `coefficient` times as long 10 °C colder."""

    at: float
    is_: float = msgspec.field(name="is")
    coefficient: float


TimeLaw = float | Table | Reference
Expect = tuple[float | tuple[float, tuple[float, float]], ...]
"""Either (least, most) seconds, or (°C, (least, most)) rows, °C ascending."""


class Wash(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """How a wash dilutes: changes of water (`carried`, `change`) or a flow (`flow`, `tank`).

    `carried` and `change` in mL, `flow` in mL/s, `tank` in mL, `start` and `limit` in g/L,
    `lag` in seconds: the least time of one change, or what is added to a flow.
    """

    start: float
    limit: float
    lag: float
    carried: float | None = None
    change: float | None = None
    flow: float | None = None
    tank: float | None = None


class Verbs(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """What the hand does: at the end of the lead-in, and when the stage calls. At most nine letters each."""

    lead_in: str | None = None
    due: str | None = None


class Hints(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One sentence for each moment of a stage: while it stands ready, while it runs, when the hand is due."""

    ready: str | None = None
    running: str | None = None
    due: str | None = None


class Repeat(msgspec.Struct, frozen=True, kw_only=True):
    """A call that comes again within a stage: every `every` seconds, to do `verb`."""

    every: float
    verb: str


class Stage(msgspec.Struct, frozen=True, kw_only=True):
    """One timed stage of a process. `name`, `light` and `ends` are required in a file.

    A file's `hint` is one sentence, or one for each moment: then `hints` holds them, and `hint` the running
    one, else the ready one, else the due one. `holds_plates` plates fit the stage's bath at once. `uses` is
    the role of the bottle that it takes from; without it `process.uses` says which.
    """

    name: str
    light: Light
    ends: Ends
    label: str | None = None
    short: str | None = None
    optional: bool = False
    starts: Starts = "at_once"
    lead_in: float | None = None
    at: str | None = None
    time: TimeLaw | None = None
    wash: Wash | None = None
    expect: Expect | None = None
    patience: float = 0.0
    limits: tuple[float, float] | None = None
    at_least: float | None = None
    clearing_factor: float | None = None
    holds: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    hint: str | None = None
    hints: Hints | None = None
    verb: Verbs | None = None
    early: Early | None = None
    repeat: Repeat | None = None
    holds_plates: int | None = None
    confirm: str | None = None
    rack: bool = False
    uses: Role | None = None

    @property
    def shown(self) -> str:
        """The name on screen."""
        return self.label or self.name

    @property
    def large(self) -> str:
        """The name for the large lettering, at most nine letters."""
        return self.short or self.shown[:9]

    @property
    def waits(self) -> bool:
        """True when the stage stands ready until a strike."""
        return self.ends == "exposure" or self.lead_in is not None or self.starts == "on_strike"


class Sensitive(msgspec.Struct, frozen=True, kw_only=True):
    """The plate is sensitive from the start of stage `from` to the start of stage `to`."""

    from_: str = msgspec.field(name="from")
    to: str


class WetWindow(msgspec.Struct, frozen=True, kw_only=True):
    """From the end of stage `from` to the start of stage `to` the plate must stay wet.

    `time` seconds at `temperature` °C and `humidity` per cent; the model is not believed
    beyond `longest` seconds.
    """

    from_: str = msgspec.field(name="from")
    to: str
    time: float
    temperature: float
    humidity: float
    longest: float


class Process(msgspec.Struct, frozen=True, kw_only=True):
    """A checked process: every name in it refers to something, every number is finite.

    `sensitive` is "never" for a process whose plate is at no time sensitive to light.
    `temperatures` (by source) and `humidity` are what is assumed until it is read.
    """

    name: str
    stages: tuple[Stage, ...]
    makes: str | None = None
    plate: str | None = None
    temperatures: dict[str, float] = {}
    humidity: float = 50.0
    sensitive: Sensitive | Literal["never"] = "never"
    wet_window: WetWindow | None = None

    def index(self, name: str) -> int:
        """Return the position of the stage called `name`. Raises KeyError when there is none."""
        for position, stage in enumerate(self.stages):
            if stage.name == name:
                return position
        raise KeyError(name)

    def stage(self, name: str) -> Stage:
        """Return the stage called `name`. Raises KeyError when there is none."""
        return self.stages[self.index(name)]

    def is_free_early(self, stage: Stage) -> bool:
        """Return whether a strike ends a timed stage before its time unasked: the developer, by default."""
        if stage.early is not None:
            return stage.early == "free"
        return self.wet_window is not None and stage.name == self.wet_window.to


class ExposurePlan(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """How the plate is to be exposed: one of `seconds`, `steps`, or `pops`.

    `seconds` is one opening. `steps` are seconds, each added to those before; `between` says
    how one step follows another: at once (run_on), on a strike, or after so many seconds.
    `pops` flashes are fired `recycle` seconds apart.
    """

    seconds: float | None = None
    steps: tuple[float, ...] | None = None
    between: Literal["run_on", "strike"] | float | None = None
    pops: int | None = None
    recycle: float | None = None


msgspec.json.Decoder(Process)  # known to msgspec from here on: two threads must not be the first to use it
