"""A bottle's account in words and as JSON, for `darkroom bottle show` and `list`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from darkroom.devices.clock import stamp
from darkroom.errors import harmless
from darkroom.solutions.bottle import Bottle
from darkroom.solutions.bottle_account import Account, poured_in
from darkroom.solutions.bottle_strength import strength_text
from darkroom.solutions.bottle_words import age_text, happened, plates_of, plates_text, volume_text
from darkroom.solutions.care import Due
from darkroom.solutions.finding import day_made

SINCE = {"boiled_down": "boiled down", "topped_up": "topped up"}
"""What was done, where the book's own word is not what people say."""


def account_json(bottle: Bottle, account: Account) -> dict[str, Any]:
    """Return the JSON members of a bottle without its care. The keys are a contract with people's scripts."""
    strength = account.strength
    return {
        "bottle": bottle.id,
        "name": bottle.name,
        "what": bottle.what,
        "state": account.state,
        "recipe": bottle.recipe,
        "batch": bottle.batch,
        "made": stamp(bottle.made),
        "used": bottle.used,
        "volume_ml": bottle.volume,
        "ripens_days": bottle.ripens,
        "age_days": round(account.age / 86400, 2),
        "age_band": None if account.band is None else account.band.word,
        "plates": account.plates.plates,
        "area_cm2": account.plates.area,
        "of_unknown_size": account.plates.of_unknown_size,
        "since": {
            what: {
                "when": stamp(instant),
                "plates": plates.plates,
                "area_cm2": plates.area,
                "of_unknown_size": plates.of_unknown_size,
            }
            for what, (instant, plates) in account.since.items()
        },
        "strength": None
        if strength is None
        else {
            "percent_wv": strength.percent_wv,
            "low": strength.low,
            "high": strength.high,
            "basis": strength.basis,
        },
        "silver_carried_out_g": account.silver,
        "problems": list(bottle.problems),
    }


def care_json(due: Due) -> dict[str, Any]:
    """Return the JSON members of a care; `due` is null where plates decide it, not the calendar."""
    return {
        "id": due.care,
        "says": due.says,
        "due": None if due.due is None else stamp(due.due),
        "now": due.now,
        "basis": due.basis,
        "test": due.test,
    }


def account_lines(
    bottle: Bottle, account: Account, dues: Sequence[Due], others: Mapping[str, Bottle]
) -> Iterator[str]:
    """Yield the lines of `bottle show`; `others` are all bottles by id. What was typed is safe to print."""
    names = {one.id: one.name for one in others.values()}
    poured = poured_in(bottle, others.values())
    for line in _lines(bottle, account, dues, names, poured):
        yield harmless(line)


def _lines(
    bottle: Bottle,
    account: Account,
    dues: Sequence[Due],
    names: Mapping[str, str],
    poured: Sequence[tuple[str, float | None]],
) -> Iterator[str]:
    yield f"{bottle.name}  {bottle.what}, {account.state}"
    yield f"  id        {bottle.id}"
    ripens = "" if bottle.ripens is None else f", ripens {bottle.ripens:g} days"
    band = "" if account.band is None else f": {account.band.word}"
    yield f"  made      {day_made(bottle)}, {age_text(account.age)} ago{ripens}{band}"
    if account.band is not None:
        yield f"            {account.band.says} ({account.band.source})"
    origin = [f"{what} {word}" for what, word in (("recipe", bottle.recipe), ("batch", bottle.batch)) if word]
    if origin:
        yield "  by        " + ", ".join(origin)
    if bottle.volume is not None:
        yield f"  holds     {volume_text(bottle.volume)}"
    for name, volume in poured:
        much = "some" if volume is None else volume_text(volume)
        yield f"            {much} of {name} came in since: measure volume and strength"
    if account.strength is not None:
        yield f"  strength  {strength_text(account.strength)}"
        yield f"            {account.strength.basis}"
    elif bottle.what == "bath":
        yield "  strength  not known: measure it"
    yield f"  plates    {_plates(account, bottle.used)}"
    for what, (_, plates) in account.since.items():
        if what not in ("made", "opened"):
            yield f"            {plates_text(plates)} since {SINCE.get(what, what)}"
    if account.silver:
        yield f"            carried out about {account.silver:.2g} g of silver nitrate (an estimate)"
    for due in dues:
        yield f"  {'due' if due.now else 'later':9} {due.says}  [{due.care}]"
        yield from (f"            {clause}" for clause in due.basis.split(". ") if clause)
        if due.now:
            yield from (f"            {said}" for said in filter(None, (due.test, *due.cautions)))
    yield ""
    withdrawn = {id(entry) for entry in bottle.withdrawn}
    every = sorted([*bottle.entries, *bottle.withdrawn], key=lambda entry: (entry.instant, entry.event.n))
    for entry in every:
        mark = "does not count: " if id(entry) in withdrawn else ""
        when = entry.happened[:16].replace("T", " ")
        yield f"  {when}  {mark}{happened(entry.event, names)}  ({entry.place})"
    yield from (f"  {problem}" for problem in bottle.problems)


def _plates(account: Account, used: bool) -> str:
    text = plates_of(account.plates, used)
    if account.plates.area:
        text += f", {account.plates.area:,.0f} cm², {account.whole_plates:.1f} whole plates"
    return text
