"""From a recipe file's text to a checked Recipe. Pure.

recipe = parse(text, "silver-bath.yaml")       # RecipeError names every mistake

`recipe_parts` reads ingredients and cares; here stand the keys of the file itself and what must hold
between them: no two ingredients that must not meet, cyanide with its warning, a strength that agrees with the
amounts, a whole that is the recipe's volume.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from darkroom.errors import RecipeError, nearest
from darkroom.process.file.text_fields import LONGEST_TITLE, line_of_text, lines_of_text
from darkroom.process.text import measures, yaml_reader
from darkroom.process.text.amounts import span
from darkroom.process.text.tree import Items, Node, Sheet
from darkroom.solutions.dangers import dangers
from darkroom.solutions.recipe import MAKES, Amount, Care, Ingredient, Period, Recipe, name_key
from darkroom.solutions.recipe_parts import (
    LONGEST_TEXT,
    as_amount,
    read_care,
    read_ingredient,
    with_source,
)

KEYS = (
    "name", "makes", "volume", "strength", "of", "warning", "cautions", "ingredients", "steps", "ready",
    "keeps", "care", "notes",
)  # fmt: skip
REQUIRED = ("name", "makes", "volume", "ingredients", "steps")
MOST_PARTS = 40
AGREES = 0.03
"""A strength may be off the one that the amounts make by this share: recipes are rounded."""
WHOLE = 0.001
"""What is filled up to may be off the recipe's volume by this share."""
SHRINKS = 1.06
"""Liquids may be so many times what they make: spirit and water shrink by 4 % at most (from memory)."""
_KINDS = ("cyanide", "acid", "ammonia", "ether")
"""What the name of a substance that is not in the table gives away: oxalic acid is an acid."""


def parse(text: str | bytes, file: str) -> Recipe:
    """Return the checked recipe of a file's text. Raises RecipeError with every problem found."""
    sheet = yaml_reader.read(text, file)
    recipe = None if sheet.root is None else _recipe(sheet, sheet.root)
    sheet.raise_problems(RecipeError)
    assert recipe is not None  # a sheet without problems has given a recipe
    return recipe


def _recipe(sheet: Sheet, root: Node) -> Recipe | None:
    keys = sheet.mapping(root, known=KEYS, required=REQUIRED)
    name = line_of_text(sheet, keys["name"], LONGEST_TITLE) if "name" in keys else None
    makes = sheet.word(keys["makes"], MAKES) if "makes" in keys else None
    volume = sheet.value(keys["volume"], _volume) if "volume" in keys else None
    placed = _parts(sheet, keys["ingredients"]) if "ingredients" in keys else []
    parts = tuple(part for part, _ in placed)
    steps = _lines(sheet, keys["steps"], "step") if "steps" in keys else ()
    warning = line_of_text(sheet, keys["warning"], LONGEST_TEXT) if "warning" in keys else None
    strength, of = _strength(sheet, keys, parts, volume)
    _check_whole(sheet, keys, parts, volume)
    _check_dangers(sheet, placed, "warning" in keys)
    ready = with_source(sheet, keys["ready"], "after", span) if "ready" in keys else None
    keeps = with_source(sheet, keys["keeps"], "for", span) if "keeps" in keys else None
    recipe_cautions = lines_of_text(sheet, keys["cautions"]) if "cautions" in keys else ()
    care = _cares(sheet, keys["care"]) if "care" in keys else ()
    notes = _lines(sheet, keys["notes"], "note") if "notes" in keys else ()
    if sheet.problems or sheet.more or name is None or makes is None or volume is None:
        return None
    return Recipe(
        name=name,
        makes=next(word for word in MAKES if word == makes),
        volume=volume,
        ingredients=parts,
        steps=steps,
        strength=strength,
        of=of,
        warning=warning,
        cautions=recipe_cautions,
        ready=None if ready is None else Period(seconds=ready[0], source=ready[1]),
        keeps=None if keeps is None else Period(seconds=keeps[0], source=keeps[1]),
        care=care,
        notes=notes,
    )


def _volume(text: str) -> Amount:
    return as_amount(text, measures.read(text, "volume"), "mL")


def _lines(sheet: Sheet, node: Node, what: str) -> tuple[str, ...]:
    """Return a list of sentences, each on one line; one alone stands for a list of one."""
    nodes = [node] if node.kind == "a single value" else sheet.items(node)
    if isinstance(node, Items) and not nodes:
        sheet.wrong(node, f"at least one {what} stands here")
    if len(nodes) > MOST_PARTS:
        sheet.wrong(node, f"{len(nodes)} {what}s: at most {MOST_PARTS}")
    texts = (line_of_text(sheet, item, LONGEST_TEXT) for item in nodes[:MOST_PARTS])
    return tuple(text for text in texts if text is not None)


def _parts(sheet: Sheet, node: Node) -> list[tuple[Ingredient, Node]]:
    """Return the ingredients in which nothing is wrong, each with where it stands."""
    items = sheet.items(node)
    if isinstance(node, Items) and not items:
        sheet.wrong(node, "a recipe has at least one ingredient")
    if len(items) > MOST_PARTS:
        sheet.wrong(node, f"{len(items)} ingredients: at most {MOST_PARTS}")
    placed: list[tuple[Ingredient, Node]] = []
    lines: dict[str, int] = {}
    for item in items[:MOST_PARTS]:
        part = read_ingredient(sheet, item)
        if part is None:
            continue
        first = lines.setdefault(name_key(part.what), item.line)
        if first != item.line:
            sheet.wrong(item, f"'{part.what}' stands twice, first on line {first}: add the two up")
        if part.fills and any(other.fills for other, _ in placed):
            sheet.wrong(item, "two ingredients fill up the whole: one of them does")
        placed.append((part, item))
    return placed


def _cares(sheet: Sheet, node: Node) -> tuple[Care, ...]:
    items = sheet.items(node)
    if len(items) > MOST_PARTS:
        sheet.wrong(node, f"{len(items)} cares: at most {MOST_PARTS}")
    cares: list[Care] = []
    for item in items[:MOST_PARTS]:
        care = read_care(sheet, item)
        if care is None:
            continue
        if any(other.id == care.id for other in cares):
            sheet.wrong(item, f"the id '{care.id}' stands twice")
        cares.append(care)
    return tuple(cares)


def _strength(
    sheet: Sheet, keys: dict[str, Node], parts: tuple[Ingredient, ...], volume: Amount | None
) -> tuple[float | None, str | None]:
    """Return (% w/v, of what): each needs the other, and both agree with the amounts."""
    for key, other in (("strength", "of"), ("of", "strength")):
        if key in keys and other not in keys:
            sheet.wrong(keys[key], f"a strength is so much of something: '{other}' is missing")
    if "strength" not in keys or "of" not in keys:
        return None, None
    strength, of = sheet.value(keys["strength"], measures.percent_wv), sheet.text(keys["of"])
    if strength is None or of is None:
        return None, None
    part = next((one for one in parts if one.is_called(of)), None)
    listed = keys.get("ingredients")
    if part is None:
        if isinstance(listed, Items) and len(listed.items) == len(parts):
            names = [one.substance or one.what.replace(" ", "-") for one in parts]
            sheet.wrong(keys["of"], f"'{of[:40]}' is no ingredient of this recipe", nearest(of, names))
        return None, None
    if volume is not None and part.amount.unit == "g":
        made = 100.0 * part.amount.value / volume.value
        if abs(made / strength - 1.0) > AGREES:
            what = f"{part.amount.value:.4g} g in {volume.value:.4g} mL make {made:.3g} %, not {strength:g} %"
            sheet.wrong(keys["strength"], what)
    return strength, part.substance or part.what


def _check_whole(
    sheet: Sheet, keys: dict[str, Node], parts: tuple[Ingredient, ...], volume: Amount | None
) -> None:
    """Note a whole that is not the recipe's volume, or smaller than the liquids that stand before it."""
    whole = next((part.amount.value for part in parts if part.fills), None)
    poured = sum(part.amount.value for part in parts if part.amount.unit == "mL" and not part.fills)
    if whole is None:
        if volume is not None and poured > SHRINKS * volume.value:
            what = (
                f"the liquids are {poured:.4g} mL: more than the {volume.value:.4g} mL that the recipe makes"
            )
            sheet.wrong(keys["volume"], what)
        return
    if volume is not None and abs(whole / volume.value - 1.0) > WHOLE:
        what = f"what is filled up to is {whole:.4g} mL: the recipe makes {volume.value:.4g} mL"
        sheet.wrong(keys["volume"], what)
    if poured >= whole:
        sheet.wrong(keys["ingredients"], f"the liquids are {poured:.4g} mL already: nothing is filled up")


def _check_dangers(sheet: Sheet, placed: Sequence[tuple[Ingredient, Node]], has_warning: bool) -> None:
    """Note ingredients that must not meet, and cyanide without a word on who must not mix it."""
    for (one, _), (other, node) in combinations(placed, 2):
        danger = dangers(_known(one), _known(other))
        if danger is not None:
            sheet.wrong(node, f"{one.what} and {other.what} in one recipe: {danger}")
    for part, node in placed:
        if "cyanide" in _known(part) and not has_warning:
            sheet.wrong(node, "a recipe with cyanide opens with a 'warning': who must not mix it")


def _known(part: Ingredient) -> str:
    """Return an ingredient as the rules of danger know it: a substance, or the kind that its name says."""
    if part.substance is not None:
        return part.substance
    words = name_key(part.what).replace(",", " ").split()
    return next((kind for kind in _KINDS if kind in words), part.what)
