"""The closed list of figures that a cause's evidence may be `of`. Pure.

`evidence` computes them. A figure that the record does not hold is None and says nothing. Where a name ends
in "over usual" it is compared with the median of this photographer's last plates of the same process.
"""

from __future__ import annotations

import msgspec


class EvidenceName(msgspec.Struct, frozen=True, kw_only=True):
    """One figure: its name, unit ("" for a count or a yes (1) or no (0)), what it is, how it gets recorded.

    `low` and `high` are the values between which it can sensibly lie. `about_fault` says that it depends on
    which fault is asked about.
    """

    name: str
    unit: str
    what: str
    noted_by: str
    low: float
    high: float
    about_fault: bool = False

    @property
    def told(self) -> str:
        """What the figure is called in a sentence."""
        return _TOLD.get(self.name, self.name)


def _name(
    name: str, unit: str, what: str, noted_by: str, low: float, high: float, about_fault: bool = False
) -> EvidenceName:
    return EvidenceName(
        name=name, unit=unit, what=what, noted_by=noted_by, low=low, high=high, about_fault=about_fault
    )


_STEPS = "press at each step"
_BOOK = "keep the bottle in the book (darkroom bottle new) and choose it on the home form"
_BOOK_AND_JUDGE = "judge each plate, and choose its bottles from the book"
_JUDGE = "judge each plate, and say that it has no other faults when it is so"

_TOLD = {
    "coat seconds": "how long it set",
    "coat over usual": "how long it set, against your usual",
    "bath share": "time in the bath",
    "bath over usual": "bath temperature against your usual",
    "drain seconds": "how long it drained",
    "drain over usual": "how long it drained, against your usual",
    "wet share": "how long it stayed wet",
    "exposure over proposal": "exposure against the proposed one",
    "judged stops": "what the next plate should get",
    "developer over usual": "developer temperature against your usual",
    "developed share": "how long it was developed",
    "developed over usual": "how long it was developed, against your usual",
    "first seen": "how soon the image showed",
    "stop seconds": "how long under water before the fixer",
    "clearing ratio": "clearing time against a fresh fixer's",
    "fixed share": "how long it was fixed",
    "wash share": "how long it was washed",
    "same fault before": "the plates right before",
    "holder": "how other holders did",
    "camera": "how other cameras did",
    "new collodion": "whether it began with a new collodion",
    "new bath": "whether it began with a new bath",
    "new developer": "whether it began with a new developer",
    "new fixer": "whether it began with a new fixer",
    "new varnish": "whether it began with a new varnish",
    "bath treated": "whether it began when the bath was treated",
}
"""What a figure is called in a sentence, where that is not its name."""

NAMES: tuple[EvidenceName, ...] = (
    _name("coat seconds", "s", "from the pour to the bath: how long the collodion set", _STEPS, 0, 300),
    _name("coat over usual", "%", "the time from the pour to the bath, against your usual", _STEPS, -90, 300),
    _name("bath share", "%", "time in the bath, of what its temperature asks", _STEPS, 0, 1000),
    _name("bath temperature", "°C", "the silver bath, read", "read the bath's temperature", 0, 45),
    _name(
        "bath over usual", "°C", "the silver bath against your usual", "read the bath's temperature", -25, 25
    ),
    _name("drain seconds", "s", "from the bath to the holder", _STEPS, 0, 600),
    _name(
        "drain over usual", "%", "the time from the bath to the holder, against your usual", _STEPS,
        -90, 300,
    ),
    _name("wet share", "%", "from the bath to the developer, of the time it stays wet", _STEPS, 0, 300),
    _name("room temperature", "°C", "the air, read", "read the room's temperature", -5, 45),
    _name("humidity", "%", "the air's relative humidity, read or typed", "read or type the humidity", 0, 100),
    _name(
        "exposure over proposal", "stops", "the exposure given against the one proposed",
        "plan the exposure with the tool", -6, 6,
    ),
    _name(
        "judged stops", "stops", "what the next plate should get: + it had too little light",
        "judge the exposure", -4, 4,
    ),
    _name("developer temperature", "°C", "the developer, read", "read the developer's temperature", 0, 45),
    _name(
        "developer over usual", "°C", "the developer against your usual", "read the developer's temperature",
        -25, 25,
    ),
    _name("developed share", "%", "the developer's time, of what its temperature asks", _STEPS, 0, 1000),
    _name("developed over usual", "%", "the developer's time against your usual", _STEPS, -90, 300),
    _name(
        "first seen", "s", "from the developer to the first sign of the image",
        "say in the judging form when the image first showed", 0, 120,
    ),
    _name("stop seconds", "s", "under water between the developer and the fixer", _STEPS, 0, 900),
    _name(
        "clearing ratio", "times", "the clearing time, of the fresh fixer's",
        "press when the plate has cleared, with the fixer in the book", 0.2, 10,
    ),
    _name("fixed share", "%", "time in the fixer, of twice its clearing time or what its file says",
          "press when the plate has cleared", 0, 1000),
    _name("wash share", "%", "the wash, of what was planned", _STEPS, 0, 1000),
    _name("collodion age", "days", "age of the collodion", _BOOK, 0, 2000),
    _name("developer age", "days", "age of the developer", _BOOK, 0, 400),
    _name("bath strength", "%", "the silver bath's strength, w/v, as the book reckons it", _BOOK, 3, 15),
    _name("bath iodised", "", "whether the bath was iodised before this plate (1) or not (0)", _BOOK, 0, 1),
    _name("plates on bath", "plates", "plates that the bath had taken", _BOOK, 0, 2000),
    _name("plates since filtered", "plates", "plates since the bath was filtered, or made", _BOOK, 0, 1000),
    _name("plates since sunned", "plates", "plates since the bath was sunned, or made", _BOOK, 0, 1000),
    _name("plates on developer", "plates", "plates that the developer had served", _BOOK, 0, 1000),
    _name("plates on fixer", "plates", "plates that the fixer had served", _BOOK, 0, 1000),
    _name("substratum", "", "whether the plate has a substratum (1) or not (0)", _BOOK, 0, 1),
    _name(
        "same fault before", "plates", "judged plates of this process right before, in a row, with the fault",
        _JUDGE, 0, 20, True,
    ),
    _name(
        "holder", "%", "how much more often the last ten plates of this holder had the fault than of others",
        "name the holder of each plate on the home form, and judge each plate", -100, 100, True,
    ),
    _name(
        "camera", "%", "how much more often the last ten plates of this camera had the fault than of others",
        "name the camera of each plate on the home form, and judge each plate", -100, 100, True,
    ),
    *(
        _name(
            f"new {role}", "", f"whether the fault began with the first plate of this {role} (1) or not (0)",
            _BOOK_AND_JUDGE, 0, 1, True,
        )
        for role in ("collodion", "bath", "developer", "fixer", "varnish")
    ),
    _name(
        "bath treated", "", "whether the fault began when the bath was topped up or treated (1) or not (0)",
        _BOOK_AND_JUDGE, 0, 1, True,
    ),
)  # fmt: skip
"""All of them, in the order of the work."""
BY_NAME: dict[str, EvidenceName] = {name.name: name for name in NAMES}
