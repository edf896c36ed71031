"""A photographer's own file of faults, for tests that must not depend on the words of the shipped ones."""

from __future__ import annotations

from pathlib import Path

FILE = """\
causes:
  hot tray:
    label: tray in the sun
    usual: 0.1
    evidence:
      - of: developer over usual
        points: {-2: -8, 0: -6, 3: 6, 6: 9}
        says: "developer {value:+.1f} °C against your usual"
    test: {do: 'Develop one plate in the shade: shown if it is clean.', shown: 8, absent: -8, cost: 1}
    remedy: Put the tray in the shade.
    source: invented for the tests
  loose lid:
    label: lid of the box not closed
    usual: 0.05
    evidence:
      - of: holder
        points: {-50: -6, 50: 8}
        says: "{value:+.0f} % more often with this holder"
    test: {do: 'Leave a plate in the closed box: shown if it fogs.', shown: 8, absent: -8, cost: 1}
    remedy: Close the lid.
    source: invented for the tests
faults:
  violet-bloom:
    label: violet bloom
    looks: a violet sheen that begins at the thumb's corner and is seen best against black
    where: [thumb's corner, all over]
    unexplained: 0.02
    causes: {hot tray: 0.4, loose lid: 0.7}
    asks:
      - question: Is the sheen there when the plate is dry?
        "yes": {hot tray: 6, loose lid: -4}
        "no": {hot tray: -4, loose lid: 3}
      - question: Had the plate before it the sheen too?
        "yes": {hot tray: 3, loose lid: -2}
        "no": {hot tray: -3, loose lid: 2}
    source: invented for the tests
  crazed rim:
    looks: a net of fine lines along the rim
    where: [upper edge]
    unexplained: 0.02
    causes: {hot tray: 0.6}
    source: invented for the tests
"""


def put_own_faults(home: Path) -> None:
    """Put the file where the tool looks for one's own faults."""
    folder = home / "profiles" / "faults"
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "own.yaml").write_text(FILE, encoding="utf-8")
