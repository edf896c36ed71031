"""What the home form offers and does not take: readings of two hours ago, and the exposure that is proposed.

What is offered is an option of its field: left and right take it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from darkroom.screens.home.last_advice import Advice
from darkroom.screens.home.plate_fields import EXPOSURE_HINT, source_of
from darkroom.screens.widgets.form import Field

if TYPE_CHECKING:
    from darkroom.exposure.learned import Learned


def offer_readings(fields: Sequence[Field], old: Mapping[str, str], hour_of: Callable[[str], str]) -> None:
    """Take the readings of `old` ({source: text}) out of their fields and offer them there.

    `hour_of` says when the reading of a source was typed.
    """
    for field in fields:
        source = source_of(field.id)
        if source is not None and source in old:
            field.value = ""
            field.options = ("", old[source], *(text for text in field.options if text))
            field.hint = f"Read at {hour_of(source)}, too long ago to be taken: right takes it."


def offer_exposure(
    field: Field, advice: Advice | None, learned: Learned | None = None, wet: float | None = None
) -> None:
    """Offer the exposure that the judged plates propose, else what the last one does: right takes it.

    Beside a time that was learned stands a test plate for its interval: right again takes that. While no
    plate is judged the test plate comes first. Right once more goes back to what stood there.
    A time that no hand opens the lens for, and strips that outlast the `wet` time in seconds, say so.
    """
    from darkroom.exposure.by_hand import too_short
    from darkroom.process.text.durations import show_short
    from darkroom.session.exposure_proposal import proposed_exposure, proposed_strips, pulls_text

    proposed = None if learned is None else proposed_exposure(learned)
    if learned is None or proposed is None:
        if advice is None or advice.seconds is None:
            _offer(field, (), EXPOSURE_HINT)
        else:
            last_words = f"is proposed {advice.source}: right takes it."
            _offer(field, (f"{advice.seconds:g} s",), f"{advice.seconds:g} s {last_words}")
        return
    time, plate = f"{proposed.seconds:g} s", proposed_strips(learned)
    assumed = "" if learned.plates else ", assumed"
    if plate is None:
        short = too_short(proposed.seconds)
        _offer(field, (time,), f"{time}{assumed}: {short or 'right takes it'}.")
        return
    strips, total = pulls_text(plate), plate.totals[-1]
    told = strips if wet is None or total <= wet else f"{show_short(total)} in all, but wet {show_short(wet)}"
    if learned.plates:
        _offer(field, (time, strips), f"Right takes {time}; right again a test plate, {told}.")
    else:
        _offer(field, (strips, time), f"Right takes a test plate, {told}; right again {time}, assumed.")


def _offer(field: Field, offered: tuple[str, ...], hint: str) -> None:
    """Make what is offered the options of a field, before the value that its hand typed."""
    field.hint = hint
    if not offered:
        field.options = ()
    elif tuple(field.options[: len(offered)]) != offered:
        typed = () if field.value in (*offered, *field.options) else (field.value,)
        field.options = (*offered, *(typed or tuple(field.options[-1:])))
