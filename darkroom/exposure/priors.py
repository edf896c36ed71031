"""What is believed of a plate's speed before any plate was judged, in stops. Pure.

Each figure stands with its reason; all of them are common practice, no source, but where one is named. Those
of kinds of light are in `light_kinds`.
"""

from __future__ import annotations

import msgspec


class Prior(msgspec.Struct, frozen=True):
    """A mean and its standard deviation, in stops."""

    mean: float
    sd: float

    @property
    def variance(self) -> float:
        """The square of the standard deviation."""
        return self.sd * self.sd


SPEED = Prior(0.0, 1.5)
"""Log2 of the speed: about ISO 1. Practitioners give 0.5 to 3 in daylight; a laboratory's iodide negative had
0.1 (Skladnikiewitz, Hertel and Schmidt 1998)."""

PROCESS = Prior(0.0, 1.0)
"""A process against the others: iodide is slower than bromo-iodide, a positive gets less than a negative."""

LENS = Prior(0.0, 0.3)
"""A lens against its f-number: yellowed glass, flare, a stop measured on the brass and not as the pupil."""

AGE = Prior(-0.3, 0.3)
"""Of 100 days of the collodion: speed falls as it reddens, up to 2 stops for a very old one."""
OLDEST = 400.0
"""Days after which age counts no further: what is older is as slow as that."""

WARMTH = Prior(0.0, 0.25)
"""Of 10 °C of the developer above 20 °C: it acts faster, but the time of development is planned for that."""
USUAL_CELSIUS = 20.0
COLDEST, WARMEST = 0.0, 50.0
"""°C of the developer outside which warmth counts no further: nobody develops there, so it was mistyped or
misread, and a straight line says nothing of it. Common practice, no source."""

BATCH = Prior(0.0, 0.35)
"""One batch of collodion against another: weighing, salts, alcohol."""

NAMED_LIGHT_SD = 1.5
"""A light of which no EV is told, against the usual EV of its kind with that kind's offset."""
OWN_USUAL = Prior(0.0, 0.8)
"""What a light that returns keeps of the stop by which a usual EV is in doubt: the walls and the glass of one
window stay, its weather does not."""
UNKNOWN_LIGHT = Prior(10.0, 3.5)
"""EV to the plate of a light of unknown kind. Usual EVs with their offsets run from 3.8 (LED) to 14.7
(sun), with mean 9.4 and sd 4.2; most plates are taken by daylight, which lies above that."""

DAY_SDS = ((0.2, 0.25), (0.45, 0.5), (0.9, 0.25))
"""(sd, weight): what changes from day to day and nobody notes: haze, the bath, a fresh developer."""
PLATE_SDS = ((0.15, 0.25), (0.28, 0.40), (0.5, 0.28), (0.9, 0.07))
"""(sd, weight): what differs from plate to plate of a day, with the eye of who judges it."""

SLIP_SHARE = 0.05
"""This share of plates had a slip that nobody noted, such as a stop misread."""
SLIP_VARIANCE = 1.5**2
"""What a slip adds to a plate's variance."""
