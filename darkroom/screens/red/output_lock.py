"""The last gate before the terminal: every character printed is red on black, whatever was drawn.

The theme and the line filter come before it and know nothing of it. It follows the colour sequences
in what is about to be written; a sequence that is not pure red is replaced, and text without a
colour of its own gets one. It costs one look-up for each sequence.
"""

from __future__ import annotations

import re
from functools import lru_cache

from darkroom.screens.red.terminal import DEFAULT_RED, STEPS, Depth, eight_bit, sgr

_TOKEN = re.compile(
    r"\x1b\[([0-9;:]*)m"
    r"|\x1b\[[0-?]*[ -/]*[@-~]"
    r"|\x1b\]P[0-9a-fA-F]{7}|\x1b\]R|\x1b\][^\x07\x1b]*(?:\x07|\x1b\\)"
    r"|\x1b[PX^_][^\x1b]*\x1b\\|\x1b."
    r"|[^\x1b]+",
    re.DOTALL,
)
_BLANK = str.maketrans("", "", "\r\n\x07\x08\x00")


def nearest_step(level: float, cap: int = 255) -> int:
    """Return the step nearest to a red level, not above `cap`."""
    return min(min(STEPS, key=lambda step: abs(step - level)), cap)


class OutputLock:
    """Makes a stream of writes pure; keeps in mind whether a pure colour stands."""

    def __init__(self, depth: Depth) -> None:
        """Begin with no colour standing."""
        self.depth: Depth = depth
        self._coloured = False
        self.open = False
        self.dim_to(DEFAULT_RED)

    def dim_to(self, cap: int) -> None:
        """Let no red be brighter than this level of `STEPS`."""
        self.cap = cap
        self.base = sgr(self.depth, cap)

    def pure(self, data: str) -> str:
        """Return the text to be written, with every colour in it pure."""
        if self.open or not data:
            return data
        pieces: list[str] = []
        changed = False
        for token in _TOKEN.finditer(data):
            text = token[0]
            if token[1] is not None:
                replacement, self._coloured = checked(token[1], self.depth, self._coloured, self.cap)
                if replacement is not None:
                    text, changed = replacement, True
            elif text[0] != "\x1b" and not self._coloured and text.translate(_BLANK):
                text, changed, self._coloured = self.base + text, True, True
            pieces.append(text)
        return "".join(pieces) if changed else data


@lru_cache(4096)
def checked(parameters: str, depth: Depth, coloured: bool, cap: int) -> tuple[str | None, bool]:
    """Return (what replaces this sequence or None to keep it, whether a pure colour stands after it)."""
    fields = parameters.replace(":", ";").split(";")
    numbers = [int(field or 0) if len(field) < 6 else 0 for field in fields]
    if numbers == [0]:
        return None, False
    foreground: int | None = None
    background: int | None = None
    attributes: list[int] = []
    impure = reset = swap = False
    index = 0
    while index < len(numbers):
        number = numbers[index]
        index += 1
        if number in (38, 48):
            level, pure, index = _extended(numbers, index, depth, cap)
            impure |= not pure
            if number == 38:
                foreground = level
            else:
                background = level
        elif 30 <= number <= 37 or 90 <= number <= 97:
            impure |= depth != 4 or number not in (30, 31)
            foreground = 0 if number in (30, 90) else cap
        elif 40 <= number <= 47 or 100 <= number <= 107:
            impure |= depth != 4 or number not in (40, 41)
            background = 0 if number in (40, 100) else cap
        elif number == 0:
            foreground = background = None
            attributes, reset, swap = [], True, False
        elif number in (22, 23, 24, 25, 27, 28, 29) or (number in (1, 4) and depth != 4):
            attributes.append(number)
        else:  # faint, italic, blink, reverse, the default colours, underline colours: not ours to show
            impure = True
            swap |= number == 7
    coloured = coloured and not reset
    if not impure and (coloured or (foreground is not None and background is not None)):
        return None, True
    text, ground = cap if foreground is None else foreground, 0 if background is None else background
    if swap:
        text, ground = ground, text
    return _sequence(depth, text, ground, attributes), True


def _extended(numbers: list[int], index: int, depth: Depth, cap: int) -> tuple[int, bool, int]:
    """Return (red level, whether it is pure, where the sequence goes on) of 38 or 48 at `index`."""
    kind = numbers[index] if index < len(numbers) else 0
    if kind == 2 and index + 3 < len(numbers):
        red, green, blue = numbers[index + 1 : index + 4]
        pure = depth == 24 and not green and not blue and red <= cap
        return nearest_step(max(red, green, blue), cap), pure, index + 4
    if kind == 5 and index + 1 < len(numbers):
        number = numbers[index + 1]
        level = STEPS[(number - 16) // 36] if 16 <= number <= 231 else (0 if number in (0, 8) else cap)
        pure = number in (16, 52, 88, 124, 160, 196) and level <= cap and depth != 4
        return min(level, cap), pure, index + 2
    return 0, False, len(numbers)


def _sequence(depth: Depth, foreground: int, background: int, attributes: list[int]) -> str:
    """Return a complete sequence: both colours, and the attributes that may stay."""
    kept = "".join(f"{number};" for number in attributes)
    if depth == 4:
        shown = (0, 1) if background else (int(foreground > 0), 0)
        return f"\x1b[0;{30 + shown[0]};{40 + shown[1]}m"
    if depth == 8:
        return f"\x1b[0;{kept}38;5;{eight_bit(foreground)};48;5;{eight_bit(background)}m"
    return f"\x1b[0;{kept}38;2;{foreground};0;0;48;2;{background};0;0m"
