"""Follows every byte that a program sent to a terminal and reports each cell that was not pure red.

Written from the control sequences of ECMA-48 and of xterm; it shares nothing with the program.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

PURE_OF_256 = {16, 52, 88, 124, 160, 196}
"""The reds among 256 colours: 16 + 36 r of the 6 × 6 × 6 cube (xterm's table)."""

_TOKEN = re.compile(
    r"\x1b\[(?P<csi>[0-?]*[ -/]*[@-~])"
    r"|\x1b\](?P<palette>P[0-9a-fA-F]{7}|R)"
    r"|\x1b\](?P<osc>[^\x07\x1b]*)(?:\x07|\x1b\\)"
    r"|\x1b[PX^_][^\x1b]*\x1b\\|\x1b[ -/]*[0-~]"
    r"|(?P<text>[^\x1b]+)",
    re.DOTALL,
)
_EMOJI = re.compile("[\U0001f000-\U0001faff\u2705\u274c\u2753-\u2755\u2757\u26a1\u2b50\ufe0f]")


@dataclass(frozen=True)
class Leak:
    """Something that was not pure red: where in the bytes, what it was, and the text it showed."""

    at: int
    what: str
    text: str = ""


@dataclass
class _Pen:
    """The colours that printed text takes; None is the terminal's own."""

    fore: str | None = None
    back: str | None = None
    odd: set[str] = field(default_factory=set)


def audit(data: bytes, depth: int = 24, *, to_the_end: bool = False) -> list[Leak]:
    """Return what was not pure red in `data`, from the first byte to the colours' return (or the last byte).

    `depth` is 24, 8 or 4 bits: 24-bit colours with green and blue 0; the six pure reds of 256; colours
    0 and 1 of 16, without bold, which is another colour there. The setting of the terminal's own
    colours must come before the alternate screen and be red or black.
    """
    text = data.decode("utf-8", "replace")
    pen = _Pen()
    leaks: list[Leak] = []
    own_set = palette_set = False
    for token in _TOKEN.finditer(text):
        at = token.start()
        csi, osc, palette, printed = token["csi"], token["osc"], token["palette"], token["text"]
        if csi is not None:
            if csi.endswith("m") and csi[0] not in "<=>?":
                _colour(csi[:-1], pen, depth)
            elif csi == "?1049h" and not (own_set or palette_set):
                leaks.append(Leak(at, "the alternate screen opens before the colours are set"))
            elif csi[-1] in "JKXLMPS" and pen.back is None and not (own_set or palette_set):
                leaks.append(Leak(at, "erased in the terminal's own colours before they are set", csi))
            elif csi[-1] in "JKX" and pen.back not in (None, "red"):
                leaks.append(Leak(at, f"erased in {pen.back}", csi))
        elif palette is not None:
            if palette == "R":
                if not to_the_end:
                    break
            elif palette[4:] != "0000":
                leaks.append(Leak(at, f"palette entry {palette}"))
            else:
                palette_set = True
        elif osc is not None:
            number, _, value = osc.partition(";")
            if number in ("110", "111", "112"):
                if not to_the_end:
                    break
                own_set = False
            elif number in ("10", "11", "12", "4"):
                own_set |= number == "11" or (number == "4" and depth == 4)
                others = re.findall(r"rgb:[0-9a-f]+/([0-9a-f]+)/([0-9a-f]+)", value)
                if any(part.strip("0") for pair in others for part in pair):
                    leaks.append(Leak(at, f"colour {number} set to {value}"))
        elif printed is not None:
            leaks += _printed(at, printed, pen)
    return leaks


def _printed(at: int, text: str, pen: _Pen) -> list[Leak]:
    shown = "".join(c for c in text if c >= " " and c != "\x7f")
    if not shown:
        return []
    wrong = [
        f"{name} {colour or 'own'}"
        for name, colour in (("text", pen.fore), ("ground", pen.back))
        if colour != "red"
    ]
    wrong += sorted(pen.odd)
    if _EMOJI.search(shown):
        wrong.append("an emoji has colours of its own")
    return [Leak(at, ", ".join(wrong), shown[:40])] if wrong else []


def _colour(parameters: str, pen: _Pen, depth: int) -> None:
    """Follow one SGR: a colour becomes `red` when it is pure, else its own words."""
    numbers = [int(word or 0) for word in re.split("[;:]", parameters)]
    at = 0
    while at < len(numbers):
        number = numbers[at]
        at += 1
        if number == 0:
            pen.fore = pen.back = None
            pen.odd.clear()
        elif number in (38, 48):
            kind = numbers[at] if at < len(numbers) else 0
            if kind == 2:
                red, green, blue = (*numbers[at + 1 : at + 4], 0, 0, 0)[:3]
                at += 4
                name = (
                    "red"
                    if depth == 24 and green == 0 and blue == 0 and red <= 255
                    else f"{red},{green},{blue}"
                )
            else:
                index = numbers[at + 1] if at + 1 < len(numbers) else -1
                at += 2
                name = "red" if depth in (24, 8) and index in PURE_OF_256 else f"colour {index} of 256"
            if number == 38:
                pen.fore = name
            else:
                pen.back = name
        elif 30 <= number <= 37 or 90 <= number <= 97:
            pen.fore = "red" if depth == 4 and number in (30, 31) else f"colour {number}"
        elif 40 <= number <= 47 or 100 <= number <= 107:
            pen.back = "red" if depth == 4 and number in (40, 41) else f"colour {number}"
        elif number == 39:
            pen.fore = None
        elif number == 49:
            pen.back = None
        elif (number == 1 and depth == 4) or number in (2, 5, 6) or (number in (3, 4) and depth == 4):
            pen.odd.add(f"attribute {number}")
        elif number in (22, 23, 24, 25):
            pen.odd.clear()


def levels(data: bytes) -> set[int]:
    """Return every red level that 24-bit or 256-colour sequences in `data` ask for."""
    steps = (0, 95, 135, 175, 215, 255)
    found = {int(red) for red in re.findall(rb"[34]8;2;(\d+);0;0", data)}
    return found | {steps[(int(n) - 16) // 36] for n in re.findall(rb"[34]8;5;(\d+)", data) if int(n) >= 16}


def luminance(red: int) -> float:
    """Return the relative luminance of a pure red of 0 to 255 (sRGB, IEC 61966-2-1; WCAG 2.1)."""
    part = red / 255
    linear = part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
    return 0.2126 * linear
