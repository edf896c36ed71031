"""What a light meter says: luminance or illuminance, EV at ISO 100, and the time for a speed. Pure.

ISO 2720: N²/t = L·S/K for light that the subject sends back, L in cd/m², and N²/t = E·S/C for light that
falls on it, E in lux. APEX: Av = 2·log2 N, Tv = −log2 t, Sv = log2(S/3.125), Ev = Av + Tv (all from memory
of the published standards).
"""

from __future__ import annotations

from math import exp2, log2

from darkroom.exposure.factors import Factor, Planned, check_positive, product

REFLECTED = 12.5
"""K in cd·s/m² of most makers; ISO 2720 allows 10.6 to 13.4, some use 14."""
INCIDENT = 250.0
"""C in lux·s of a flat receptor; 320 to 540 under a dome, of which 330 to 340 is usual."""
LUX_OF_FOOT_CANDLE = 1 / 0.3048**2
"""A foot-candle is a lumen on a square foot, and a foot is 0.3048 m by definition."""
APEX_SPEED = 3.125
"""The speed of Sv 0, so that ISO 100 is Sv 5."""


def ev_of_luminance(luminance: float, constant: float = REFLECTED) -> float:
    """Return the EV at ISO 100 of a luminance in cd/m². Raises QuantityError for none."""
    check_positive(("luminance", luminance), ("constant", constant))
    return log2(luminance * 100 / constant)


def luminance_of_ev(ev: float, constant: float = REFLECTED) -> float:
    """Return the luminance in cd/m² of an EV at ISO 100."""
    return constant * exp2(ev) / 100


def ev_of_lux(lux: float, constant: float = INCIDENT) -> float:
    """Return the EV at ISO 100 of an illuminance in lux. Raises QuantityError for none."""
    check_positive(("illuminance", lux), ("constant", constant))
    return log2(lux * 100 / constant)


def lux_of_ev(ev: float, constant: float = INCIDENT) -> float:
    """Return the illuminance in lux of an EV at ISO 100."""
    return constant * exp2(ev) / 100


def ev_of_foot_candles(foot_candles: float, constant: float = INCIDENT) -> float:
    """Return the EV at ISO 100 of an illuminance in foot-candles. Raises QuantityError for none."""
    return ev_of_lux(foot_candles * LUX_OF_FOOT_CANDLE, constant)


def aperture_value(f_number: float) -> float:
    """Return APEX Av of an f-number. Raises QuantityError."""
    check_positive(("f-number", f_number))
    return 2 * log2(f_number)


def time_value(seconds: float) -> float:
    """Return APEX Tv of seconds. Raises QuantityError."""
    check_positive(("time", seconds))
    return -log2(seconds)


def speed_value(speed: float) -> float:
    """Return APEX Sv of a speed on the ISO scale. Raises QuantityError."""
    check_positive(("speed", speed))
    return log2(speed / APEX_SPEED)


def ev_at_speed(ev: float, speed: float) -> float:
    """Return what a meter set to a speed shows where one set to ISO 100 shows `ev`. Raises QuantityError."""
    check_positive(("speed", speed))
    return ev + log2(speed / 100)


def metered(speed: float, f_number: float, ev: float, lost: dict[str, float] | None = None) -> Planned:
    """Return the time for a plate of a speed at an f-number and an EV at ISO 100: 100·N²·F/(S·2^EV) seconds.

    `lost` are stops of light lost, by what takes them. The factors count from 1 s at f/1, EV 0 and ISO 100.
    Raises QuantityError.
    """
    check_positive(("speed", speed))
    factors = [
        Factor(what="stop", how=f"f/{f_number:.4g}", stops=aperture_value(f_number)),
        Factor(what="ev", how=f"EV {ev:.4g}", stops=-ev),
        Factor(what="speed", how=f"ISO {speed:.3g}", stops=log2(100 / speed)),
        *(Factor(what=what, how="light lost", stops=stops) for what, stops in (lost or {}).items()),
    ]
    return product(1.0, factors)


def speed_of(seconds: float, f_number: float, ev: float, lost: float = 0.0) -> float:
    """Return the speed of a plate for which a time was right: 100·N²·F/(t·2^EV), `lost` in stops.

    Raises QuantityError.
    """
    check_positive(("time", seconds), ("f-number", f_number))
    return 100 * f_number * f_number * exp2(lost - ev) / seconds
