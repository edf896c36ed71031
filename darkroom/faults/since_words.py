"""When a fault began and how it went on, in words. Pure."""

from __future__ import annotations

from datetime import date

from darkroom.faults.answer import Began, Since
from darkroom.process.text.days import MONTHS


def began_text(run: Began) -> str:
    """Return when a fault began and what was new then."""
    day = _day(run.day)
    row = f", {run.plates} judged plates in a row" if run.plates > 1 else ""
    if run.after is None:
        return f"already on the first judged plate ({run.number}, {day}){row}"
    first = f"{_once(run)} with plate {run.number} of {day}{row}; "
    back = f"back to {', '.join(run.back)}"
    if run.new:
        return (
            first + f"new since plate {run.after}: {', '.join(run.new)}" + (f"; {back}" if run.back else "")
        )
    if run.back:
        return first + f"{back} since plate {run.after}"
    return first + f"nothing is noted as new since plate {run.after}"


def since_text(since: Since) -> str:
    """Return how it went on with a fault on later plates."""
    told = []
    if since.having:
        told.append(f"{since.having} more with it (to {since.having_to})")
    if since.lacking:
        plates = "1 judged plate" if since.lacking == 1 else f"{since.lacking} judged plates"
        first = f"{'' if since.lacking == 1 else 'from '}{since.lacking_from}"
        told.append(f"{plates} without it ({', '.join((first, *since.other))})")
    if since.again is not None:
        told.append(f"again with plate {since.again}")
    return f"since then: {'; '.join(told)}"


def _once(run: Began) -> str:
    """Return "first", or how many plates of the process had the fault before."""
    if not run.had_before:
        return "first"
    plates = "an earlier plate" if run.had_before == 1 else f"{run.had_before} earlier plates"
    return f"after {plates}, again"


def _day(text: str) -> str:
    """Return a day as "14 May", or the text as it is where it is none."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return text
    return f"{day.day} {MONTHS[day.month - 1]}"
