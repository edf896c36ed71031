"""Names of time zones, looked up in the machine's own list: pure rooms read no zone files."""

from __future__ import annotations

from datetime import tzinfo

from darkroom.errors import QuantityError, nearest
from darkroom.process.text.numbers import quoted
from darkroom.process.text.tree import Node, Sheet

EXPECTED = "a time zone such as Europe/Berlin"


def time_zone(name: str) -> tzinfo:
    """Return the time zone of that name. Raises QuantityError for a name that this machine does not know."""
    from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise QuantityError(f"{quoted(name)} is not known here: expected {EXPECTED}") from None


def known_zone(sheet: Sheet, node: Node) -> str | None:
    """Return a scalar that names a time zone; another is noted with the nearest right one.

    A machine without a list of time zones cannot check a name, and takes it.
    """
    from zoneinfo import available_timezones

    name = sheet.text(node)
    if name is None:
        return None
    try:
        time_zone(name)
    except QuantityError as error:
        zones = available_timezones()
        if zones:
            sheet.wrong(node, str(error), _nearest_zone(name, zones))
            return None
    return name


def _nearest_zone(name: str, zones: set[str]) -> str | None:
    """Return the zone that was meant: by its name in any case, by its city alone, or the nearest."""
    folded = name.casefold().replace(" ", "_")
    for zone in sorted(zones):
        if folded in (zone.casefold(), zone.casefold().rpartition("/")[2]):
            return zone
    return nearest(name, sorted(zone for zone in zones if "/" in zone))
