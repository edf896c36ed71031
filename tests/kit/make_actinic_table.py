"""Make the table of daylight against the sun's altitude as a collodion plate sees it (pvlib).

`python -m tests.kit.make_actinic_table` writes `darkroom/exposure/actinic_table.py`. The light is that of a
clear sky, from the SPECTRL2 model (R. Bird and C. Riordan, 1986), weighted with the plate's published
sensitivity.
"""

from __future__ import annotations

from math import log2
from pathlib import Path

import numpy
import pvlib

from darkroom.exposure import actinic

SENSITIVITY = dict(
    zip(
        range(380, 530, 10),
        (1.00, 1.02, 1.03, 1.05, 1.00, 0.80, 0.35, 0.22, 0.14, 0.10, 0.08, 0.05, 0.03, 0.01, 0.00),
        strict=True,
    )
)
"""Sensitivity of a 40/60 bromide and iodide collodion by wavelength in nm, relative to 380 nm, about ± 0.03:
D. Hertel, P. Skladnikiewitz, I. Schmidt, The Wet Collodion Process (IS&T 50th Annual Conference, 1997),
figure 4, as digitised by a third party."""
SKY = {
    "aerosol_turbidity_500nm": 0.1,
    "ozone": 0.31,
    "precipitable_water": 1.5,
    "ground_albedo": 0.2,
    "surface_pressure": 101325.0,
    "dayofyear": 172,
}
"""A clear sky at sea level: turbidity at 500 nm, ozone in atm-cm, water in cm, the ground's reflection,
pressure in Pa. The day changes the distance of the sun alone, which leaves stops against 60° as they are."""
ALTITUDES = (2, 2.5, 3, 4, 5, 6, 8, 10, 12.5, *range(15, 85, 5), 82.5, 85, 87.5, 90)
REFERENCE = 60
"""The altitude whose light on flat ground is 0 stops."""
TABLE = Path(actinic.__file__).with_name("actinic_table.py")


def air_mass(altitude: float) -> float:
    """Return the relative air mass (F. Kasten and A. T. Young, 1989) at an altitude in degrees."""
    return float(pvlib.atmosphere.get_relative_airmass(90 - altitude, "kastenyoung1989"))


def light(altitude: float, tilt: float = 0.0, turned: float = 0.0) -> dict[str, float]:
    """Return the light on a surface that counts for the plate: `global`, and what is `diffuse` of it.

    The surface is tilted by so many degrees and turned by so many from the sun's azimuth.
    """
    angle = float(pvlib.irradiance.aoi(tilt, turned, 90 - altitude, 0.0))
    spectra = pvlib.spectrum.spectrl2(
        apparent_zenith=90 - altitude,
        aoi=angle,
        surface_tilt=tilt,
        relative_airmass=air_mass(altitude),
        **SKY,
    )
    grid = numpy.arange(min(SENSITIVITY), max(SENSITIVITY) + 1.0)
    weight = numpy.interp(grid, list(SENSITIVITY), list(SENSITIVITY.values()))

    def weighed(name: str) -> float:
        spectrum = numpy.interp(grid, spectra["wavelength"], numpy.squeeze(spectra[name]))
        weighted = spectrum * weight
        return float(numpy.sum(weighted[1:] + weighted[:-1]) / 2)  # trapezoids of 1 nm

    diffuse = weighed("poa_sky_diffuse") + weighed("poa_ground_diffuse")
    return {"global": weighed("poa_global"), "diffuse": diffuse}


def row(altitude: float) -> tuple[float, float, float, float]:
    """Return stops more than on flat ground at 60°: flat, flat in shade, facing the sun, turned away."""
    reference = light(REFERENCE)["global"]
    flat = light(altitude)
    lights = (
        flat["global"],
        flat["diffuse"],
        light(altitude, tilt=90)["global"],
        light(altitude, tilt=90, turned=180)["global"],
    )
    flat_, shade, facing, away = (log2(reference / amount) for amount in lights)
    return flat_, shade, facing, away


def source() -> str:
    """Return the text of the module with the table."""
    lines = [
        '"""Daylight of a clear sky against the sun\'s altitude, as a collodion plate sees it. Pure.',
        "",
        "Made by `python -m tests.kit.make_actinic_table` (there the sources): SPECTRL2 of pvlib "
        f"{pvlib.__version__}, {min(SENSITIVITY)} to",
        f"{max(SENSITIVITY)} nm weighted by the published sensitivity of an iodide and bromide collodion;",
        "; ".join(f"{name} {value:g}" for name, value in list(SKY.items())[:3]) + ";",
        "; ".join(f"{name} {value:g}" for name, value in list(SKY.items())[3:]) + ".",
        '"""',
        "",
        "ROWS: tuple[tuple[float, float, float, float, float], ...] = (",
        *(f"    ({', '.join([f'{altitude:g}', *(_shown(stops) for stops in row(altitude))])}),"
          for altitude in ALTITUDES),
        ")  # fmt: skip",
        '"""Altitude in degrees; stops more than on flat ground with the sun at '
        f"{REFERENCE}°: on flat ground, there in shade,",
        'on something upright that faces the sun, and turned away from it."""',
    ]  # fmt: skip
    return "\n".join(lines) + "\n"


def _shown(stops: float) -> str:
    return f"{round(stops, 4) + 0.0:.4f}"


if __name__ == "__main__":
    TABLE.write_text(source(), encoding="utf-8")
