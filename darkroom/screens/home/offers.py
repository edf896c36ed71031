"""What the home form offers and does not take: readings of two hours ago, and the exposure that is proposed.

What is offered is an option of its field: left and right take it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from darkroom.screens.home.last_advice import Advice
from darkroom.screens.home.plate_fields import EXPOSURE_HINT, source_of
from darkroom.screens.widgets.form import Field


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


def offer_exposure(field: Field, advice: Advice | None) -> None:
    """Offer the exposure that the last plate proposes: right takes it, right again goes back."""
    if advice is None or advice.seconds is None:
        field.hint, field.options = EXPOSURE_HINT, ()
        return
    proposed = f"{advice.seconds:g} s"
    if proposed not in field.options:
        field.options = (proposed, field.value)
        field.hint = f"{proposed} is proposed {advice.text.partition(':')[0]}: right takes it."
