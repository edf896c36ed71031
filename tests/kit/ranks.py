"""Ranks by numpy, to check ours against."""

from __future__ import annotations

import numpy


def by_numpy(values: list[float]) -> list[float]:
    """Return average ranks by numpy's sort alone."""
    ordered = numpy.sort(numpy.array(values))
    below = numpy.searchsorted(ordered, values, side="left")
    upto = numpy.searchsorted(ordered, values, side="right")
    return list((below + upto + 1) / 2)
