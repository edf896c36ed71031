"""Large letters: heights, widths, shapes, and that they can be read again."""

from __future__ import annotations

import itertools

import pytest

from darkroom.screens.lettering import lettering
from darkroom.screens.lettering.lettering import Lettering, digit_rows, render, word_rows

SIZES = [(80, 24), (120, 35), (120, 40), (200, 60), (300, 90)]
WORDS = ["FIX", "WASH", "DEVELOP", "SENSITISE", "INTENSIFY", "CAP ON", "FINISHED"]


def dots(rendered: Lettering, blocks: str = "half") -> list[str]:
    """Return the dots as lines of # and space, two lines a row for half blocks."""
    dot_rows = []
    for line in rendered.text.split("\n"):
        if blocks == "half":
            dot_rows.append("".join("#" if c in "█▀" else " " for c in line))
            dot_rows.append("".join("#" if c in "█▄" else " " for c in line))
        else:
            dot_rows.append("".join("#" if c == "█" else " " for c in line))
    return dot_rows


@pytest.mark.parametrize(("columns", "rows"), SIZES)
@pytest.mark.parametrize("text", ["0:00", "59:59", "9:59:59"])
def test_digits_get_two_fifths(columns: int, rows: int, text: str) -> None:
    """At 80 × 24 to 300 × 90 the digits are 40 % of the rows tall, rounded up, up to 9:59:59."""
    assert -(-rows * 2 // 5) == digit_rows(columns, rows, text)


@pytest.mark.parametrize("blocks", ["half", "spaces"])
@pytest.mark.parametrize(("columns", "rows"), SIZES)
@pytest.mark.parametrize("text", ["8", "0:07", "3:30", "12:34", "9:59:59"])
def test_digits_fill_their_rows(columns: int, rows: int, text: str, blocks: str) -> None:
    """The digits' ink reaches from the first dot of their rows to the last, and fits the columns."""
    tall = digit_rows(columns, rows, text)
    rendered = render(text, columns - 2, tall, blocks=blocks)  # type: ignore[arg-type]
    dot_rows = dots(rendered, blocks)
    assert not rendered.plain and rendered.squeeze >= 0.7
    assert "#" in dot_rows[0] and "#" in dot_rows[-1]
    assert tall == len(rendered.rows)
    assert all(columns - 2 == sum(len(text) for text, _ in row) for row in rendered.rows)


def test_40_minutes_of_arc_at_three_metres() -> None:
    """On a 14-inch 16:9 screen of 120 × 35 digits subtend 40 arc minutes at 3 m (ISO 9241 asks 16)."""
    import math

    cell = 14 * 25.4 * 9 / math.hypot(16, 9) / 35  # the height of a row in millimetres
    tall = cell * digit_rows(120, 35, "9:59:59")
    assert math.degrees(2 * math.atan(tall / 2 / 3000)) * 60 >= 40


@pytest.mark.parametrize("blocks", ["half", "spaces"])
def test_a_digit_change_moves_nothing_else(blocks: str) -> None:
    """Through a minute and a half, only the cells of the digits that changed are drawn anew."""
    frames = [dots(render(f"{s // 60}:{s % 60:02}", 78, 10, blocks=blocks), blocks) for s in range(90)]  # type: ignore[arg-type]
    seconds = {s: frames[s] for s in range(60)}
    tens = [i for i in range(78) if any(seconds[3][y][i] != seconds[33][y][i] for y in range(len(frames[0])))]
    ones = [i for i in range(78) if any(seconds[8][y][i] != seconds[1][y][i] for y in range(len(frames[0])))]
    assert max(tens) < min(ones)
    for s in range(59):
        moved = {
            i for i in range(78) for y in range(len(frames[0])) if frames[s][y][i] != frames[s + 1][y][i]
        }
        if s % 10 != 9:
            assert min(moved) > max(tens), s


@pytest.mark.parametrize("blocks", ["half", "spaces"])
@pytest.mark.parametrize("rows", [3, 4, 5, 8, 10, 16, 36])
def test_no_two_digits_look_alike(rows: int, blocks: str) -> None:
    """Any two digits differ in an eighth of their dots at least, at every size that is drawn."""
    if blocks == "spaces" and rows < 5:
        return
    shapes = {
        d: "".join(dots(render(d, 60, rows, blocks=blocks, align="left"), blocks)) for d in "0123456789"
    }  # type: ignore[arg-type]
    for (a, shape), (b, other_shape) in itertools.combinations(shapes.items(), 2):
        differ = sum(x != y for x, y in zip(shape, other_shape, strict=True))
        assert differ >= max(shape.count("#"), other_shape.count("#")) / 8, (a, b)


def test_digits_are_read_by_a_program() -> None:
    """Each drawn digit is most like the same digit of the same face drawn finely, by its own dots.

    The reference is FreeType's grey rendering at 16 times the size, brought down by averaging.
    """
    from PIL import Image, ImageDraw, ImageFont

    def fine(digit: str, width: int, height: int) -> list[float]:
        image = Image.new("L", (400, 400))
        ImageDraw.Draw(image).text(
            (50, 50), digit, fill=255, font=ImageFont.load_default(250), stroke_width=6
        )
        small = image.crop(image.getbbox()).resize((width, height), Image.Resampling.BOX)
        return [value / 255 for value in small.tobytes()]

    for rows in (5, 10, 14):
        for digit in "0123456789":
            dot_rows = dots(render(digit, 60, rows))
            left = min(dot_row.find("#") for dot_row in dot_rows if "#" in dot_row)
            right = max(dot_row.rfind("#") for dot_row in dot_rows) + 1
            shape = [float(dot_row[x] == "#") for dot_row in dot_rows for x in range(left, right)]
            unlike = {
                other: sum(
                    abs(a - b) for a, b in zip(shape, fine(other, right - left, rows * 2), strict=True)
                )
                for other in "0123456789"
            }
            assert digit == min(unlike, key=unlike.__getitem__), (rows, unlike)


@pytest.mark.parametrize(("columns", "rows"), SIZES)
@pytest.mark.parametrize("word", WORDS)
def test_words_get_a_fifth(columns: int, rows: int, word: str) -> None:
    """Stage names are drawn, between three rows and 20 % of them to the nearest row, within the columns."""
    tall = word_rows(columns, rows, word)
    rendered = render(word, columns - 2, tall)
    assert 3 <= tall <= max(3, round(rows / 5))
    assert not rendered.plain
    assert "#" in dots(rendered)[0] and "#" in dots(rendered)[-1]


def test_solid_hollow_and_dark_are_three_shapes() -> None:
    """Counting, ready and overrun differ in their dots, not only in their colour, at every size."""
    for rows in (3, 5, 10, 16):
        for blocks in ("half", "spaces") if rows >= 8 else ("half",):
            solid, hollow, dark = (
                "".join(dots(render("0:42", 78, rows, blocks=blocks, **how), blocks))  # type: ignore[arg-type]
                for how in ({}, {"outline": True}, {"inverse": True, "slab": 78})
            )
            ink = solid.count("#")
            assert 0.25 * ink < hollow.count("#") < 0.9 * ink, (rows, blocks)
            assert dark.count("#") > 1.5 * ink, (rows, blocks)


def test_a_slab_is_as_wide_as_asked() -> None:
    """Dark letters stand on a slab of the asked width, a dot of it above and below them."""
    dot_rows = dots(render("0:42", 78, 10, inverse=True, slab=70))
    assert {" " * 4 + "#" * 70 + " " * 4} == {dot_rows[0], dot_rows[-1]}


@pytest.mark.parametrize("align", ["left", "center", "right"])
def test_words_stand_where_asked(align: str) -> None:
    """Left, centre and right are the word's place in the columns."""
    dot_rows = dots(render("FIX", 78, 5, align=align))  # type: ignore[arg-type]
    left = min(dot_row.find("#") for dot_row in dot_rows if "#" in dot_row)
    right = 77 - max(dot_row.rfind("#") for dot_row in dot_rows)
    assert {"left": left == 0, "center": abs(left - right) <= 1, "right": right == 0}[align]


@pytest.mark.parametrize("word", ["ÉBAUCHE", "Fixieren", "ŚWIATŁO", "øvre"])
def test_other_languages_are_drawn(word: str) -> None:
    """A label in another Latin alphabet keeps its marks and fills its rows."""
    rendered = render(word, 118, 7)
    assert not rendered.plain and "#" in dots(rendered)[0] and "#" in dots(rendered)[-1]


@pytest.mark.parametrize("blocks", ["half", "spaces"])
@pytest.mark.parametrize("inverse", [False, True])
def test_what_cannot_be_drawn_is_written(blocks: str, inverse: bool) -> None:
    """A word in a script no face here has, or too little room, becomes ordinary text of the right size."""
    for word, columns, rows in (("\u0f40\u0f41", 40, 5), ("SENSITISE", 20, 3), ("FIX", 40, 1), ("", 10, 2)):
        rendered = render(word, columns, rows, blocks=blocks, inverse=inverse)  # type: ignore[arg-type]
        assert rendered.plain and rows == len(rendered.rows)
        assert word.strip() in "".join(text for row in rendered.rows for text, _ in row)
        if word.isascii():
            assert all(columns == sum(len(text) for text, _ in row) for row in rendered.rows)


def test_every_span_has_its_meaning() -> None:
    """Half blocks are one span a row in the asked meaning; spaces are filled by the meaning reversed."""
    assert {"loud"} == {m for row in lettering.rows("FIX", 40, 5, meaning="loud") for _, m in row}
    spaces = lettering.rows("FIX", 40, 5, meaning="loud", blocks="spaces")
    assert {"loud", "loud reversed"} == {meaning for row in spaces for _, meaning in row}
    assert not "".join(text for row in spaces for text, _ in row).strip()


@pytest.mark.parametrize(("blocks", "dots_high", "aspect"), [("half", 10, 1.0), ("spaces", 5, 2.0)])
def test_the_natural_width_is_what_is_drawn(blocks: str, dots_high: int, aspect: float) -> None:
    """A word in just its natural width is drawn without squeezing and fills it; one dot less squeezes it."""
    width = lettering.natural_width("DEVELOP", dots_high, aspect)
    rendered = render("DEVELOP", width, 5, blocks=blocks)  # type: ignore[arg-type]
    dot_rows = dots(rendered, blocks)
    assert (
        rendered.squeeze == 1.0
        and any(dot_row[0] == "#" for dot_row in dot_rows)
        and any(dot_row[-1] == "#" for dot_row in dot_rows)
    )
    assert render("DEVELOP", width - 1, 5, blocks=blocks).squeeze < 1.0  # type: ignore[arg-type]


def test_drawing_again_costs_nothing() -> None:
    """The same word at the same size is drawn once."""
    render.cache_clear()
    first = render("DEVELOP", 78, 5)
    assert first is render("DEVELOP", 78, 5) and render.cache_info().misses == 1
