"""`darkroom mix` from exec to its end, against a Python that imports click and pint alone.

python -m tests.measure.run recipes
"""

from __future__ import annotations

import sys

from tests.measure import measure as m
from tests.measure.strength import once

FLOOR = (sys.executable, "-c", "import click, pint")
COMMANDS = {
    "darkroom mix, metric": ("silver-bath", "--make", "1.5L", "--json"),
    "darkroom mix, old measures": ("developer-negative", "--make", "20 US fl oz"),
    "darkroom mix, the list": (),
}


def measure(short: bool = False) -> list[m.Row]:
    """Run each in turn with the floor, several times; compare medians."""
    rows = []
    for name, words in COMMANDS.items():
        command = (sys.executable, "-m", "darkroom", "mix", *words)
        once(FLOOR)
        once(command)  # once before, so that neither pays for a cold disk or for compiling
        pairs = [(once(FLOOR), once(command)) for _ in range(5 if short else 15)]
        floor, value = (m.middle(times) for times in zip(*pairs, strict=True))
        rows.append(m.Row(name, value, floor, 1.8 * floor, "ms"))
    return rows


if __name__ == "__main__":
    for row in measure("--short" in sys.argv):
        print(row)
