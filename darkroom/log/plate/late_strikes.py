"""Strikes that came so late that they were likely forgotten. Pure.

A strike looks late when what it ended took over three times the upper end of what is usual: a stage that
ends by eye against its usual range, a clearing against the usual range of clearing (a fixing bath's range
is of clearing), a stage with a planned time against that, and never before its patience is over. Ends by
the clock, ends told afterwards, stages cut short and stages on the rack are never late.
"""

from __future__ import annotations

import msgspec

from darkroom.log.plate.account import Account, StageAccount
from darkroom.process.text.durations import show_duration

TIMES = 3.0
"""A strike over so many times the upper end of what is usual looks late."""


class Late(msgspec.Struct, frozen=True, kw_only=True):
    """A strike that looks late. `index` is the stage's place in the account; times are seconds.

    `strike` is which: the one that ended the stage, or the one at which the plate had cleared. With
    `planned` both ends of `usual` are the planned time: the stage has no usual range.
    """

    index: int
    stage: str
    strike: str
    seconds: float
    usual: tuple[float, float]
    planned: bool = False

    @property
    def words(self) -> str:
        """The strike in words: "looks late: 9:10, usually 0:30 to 1:00"."""
        took = ("cleared " if self.strike == "cleared" else "") + show_duration(self.seconds)
        least, most = (show_duration(seconds) for seconds in self.usual)
        return f"looks late: {took}, " + (f"planned {most}" if self.planned else f"usually {least} to {most}")


def late(account: Account) -> tuple[Late, ...]:
    """Return the strikes that look late, in order."""
    return tuple(
        strike for index, stage in enumerate(account.stages) for strike in _late_strikes_of(index, stage)
    )


def _late_strikes_of(index: int, stage: StageAccount) -> list[Late]:
    late_strikes = []
    if stage.cleared is not None and stage.usual is not None and stage.cleared > TIMES * stage.usual[1]:
        late_strikes.append(
            Late(index=index, stage=stage.stage, strike="cleared", seconds=stage.cleared, usual=stage.usual)
        )
    if stage.how != "strike" or stage.racked:
        return late_strikes
    planned_seconds = 0.0 if stage.planned is None else stage.planned
    by_plan = stage.cleared is not None or stage.usual is None or stage.usual[1] <= planned_seconds
    if by_plan and stage.planned is not None:
        if stage.seconds > max(TIMES * planned_seconds, planned_seconds + stage.patience):
            late_strikes.append(
                Late(
                    index=index,
                    stage=stage.stage,
                    strike="end",
                    seconds=stage.seconds,
                    usual=(planned_seconds, planned_seconds),
                    planned=True,
                )
            )
    elif not by_plan and stage.usual is not None and stage.seconds > TIMES * stage.usual[1]:
        late_strikes.append(
            Late(index=index, stage=stage.stage, strike="end", seconds=stage.seconds, usual=stage.usual)
        )
    return late_strikes
