"""What the documents take from the program; `python -m tests.kit.documents` renews its tables."""

from __future__ import annotations

from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
BEGIN, END = "<!-- keys: made by tests/kit/documents.py -->", "<!-- end of keys -->"
FIGURES, END_OF_FIGURES = "<!-- figures: made by tests/kit/documents.py -->", "<!-- end of figures -->"


def key_table() -> str:
    """Return the table of keys in Markdown, from the one table of actions."""
    from darkroom.session.actions import ACTIONS
    from darkroom.session.key_map import KeyMap

    keys = KeyMap()
    lines = ["| key | does | |", "|---|---|---|"]
    lines += [f"| `{keys.names(action.zone)}` | {action.label} | {action.help} |" for action in ACTIONS]
    return "\n".join(lines)


def menu_list() -> str:
    """Return what the menu holds, as a sentence."""
    from darkroom.session.actions import MENU

    return ", ".join(action.label[:1].lower() + action.label[1:] for action in MENU)


def made(readme: str) -> str:
    """Return the README with its made part anew."""
    before, rest = readme.split(BEGIN)
    _, after = rest.split(END)
    return f"{before}{BEGIN}\n\n{key_table()}\n\nThe menu: {menu_list()}.\n\n{END}{after}"


def evidence_table() -> list[str]:
    """Return the figures that evidence can be of as a table in Markdown."""
    from darkroom.faults.evidence_names import NAMES

    rows = ["| figure | unit | what it is | between | how it gets recorded |", "|---|---|---|---|---|"]
    rows += [
        f"| `{name.name}` | {name.unit or '-'} | {name.what} | {name.low:g} and {name.high:g} "
        f"| {name.noted_by} |"
        for name in NAMES
    ]
    return rows


def figure_table(developers: str) -> str:
    """Return DEVELOPERS.md with its table of the figures that a cause's evidence can be of anew."""
    before, rest = developers.split(FIGURES)
    _, after = rest.split(END_OF_FIGURES)
    table = "\n".join(evidence_table())
    return f"{before}{FIGURES}\n\n{table}\n\n{END_OF_FIGURES}{after}"


if __name__ == "__main__":
    for name, renewed in (("README.md", made), ("DEVELOPERS.md", figure_table)):
        path = ROOT / name
        path.write_text(renewed(path.read_text(encoding="utf-8")), encoding="utf-8")
