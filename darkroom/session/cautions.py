"""The usual cautions of the trade, shown once a day before work; each stage shows its own at the bench.

They are common practice, no source; the supplier's safety sheet, local codes and licensed practice
come before anything said here.
"""

from __future__ import annotations

from darkroom.process.model import Process

FIRST = "Supplier's safety sheets, local codes and licensed practice come before anything said here."

BY_HELD = {
    "ether": "Ether vapour is heavy and creeps along the bench to flames and heaters: none within 3 m.",
    "silver": "Silver nitrate blinds: goggles on, eyewash in reach. Collect silver waste.",
    "hypo": "Fixer on a glove ruins the silver bath: rinse or change gloves before the next plate.",
    "cyanide": "Cyanide kills, with acid at once: never alone, never in a closed dark box, own tray, sink "
    "and waste. Not without the licence your law asks for.",
    "varnish": "Varnish burns: bottle capped and away from the flame or hot plate.",
    "flame": "A flame or hot plate: no ether, collodion or open varnish near it.",
}
ALWAYS = (
    "Collodion made with cadmium: keep it off the skin, collect the waste.",
    "Silver on the fingers reaches the keyboard: cover it, wipe it before bare hands touch it.",
)


def of_process(process: Process) -> list[str]:
    """Return the cautions for a day's work with this process, the deference first."""
    hazards = {hazard for stage in process.stages for hazard in stage.holds}
    return [FIRST, *(text for hazard, text in BY_HELD.items() if hazard in hazards), *ALWAYS]


def to_confirm(process: Process) -> list[str]:
    """Return what must be confirmed with dry hands before a plate of this process is put on the bench."""
    return [stage.confirm for stage in process.stages if stage.confirm]
