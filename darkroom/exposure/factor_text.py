"""A factor of an exposure as text, in stops and as a multiplier. Pure."""

from __future__ import annotations

from math import exp2


def stops_text(stops: float) -> str:
    """Return "+1.17 stops", "−1.00 stops"."""
    return f"{stops:+.2f} stops".replace("-", "−")


def times_text(stops: float) -> str:
    """Return stops as a multiplier: "×2.25", "×1/4.5" for what shortens."""
    times = exp2(abs(stops))
    text = f"{times:.3g}" if times < 100 else f"{times:,.0f}"
    return f"×{text}" if stops >= 0 else f"×1/{text}"
