"""All recipes at once, as the book of bottles asks for them."""

from __future__ import annotations

from pathlib import Path

from darkroom import resources


def test_a_wrong_own_recipe_leaves_ours_in_its_place(tmp_path: Path) -> None:
    """Every recipe is there; a wrong own file is told in one line, and a new wrong one is left out."""
    own = tmp_path / "profiles" / "solutions"
    own.mkdir(parents=True)
    shipped, problems = resources.checked_recipes(tmp_path)
    assert set(shipped) == set(resources.recipes(tmp_path)) and not problems
    name = next(iter(shipped))
    (own / f"{name}.yaml").write_text("name: only a name\n", encoding="utf-8")
    (own / "of-my-own.yaml").write_text("nonsense: [\n", encoding="utf-8")
    found, wrong = resources.checked_recipes(tmp_path)
    assert found == shipped
    assert len(wrong) == 2 and all("\n" not in text and str(own) in text for text in wrong)
