"""The tables of what is left out at the start, held against the toolkit that is installed.

These tests fail when another release of the toolkit, or of what it is built on, needs other tables.
"""

from __future__ import annotations

import ast
import importlib
import importlib.metadata
import importlib.util
import sys
import tomllib
import typing
from collections.abc import Iterator
from pathlib import Path

import pytest
import typing_extensions

from darkroom.screens.lean_toolkit.load import STANDS_IN, STAYS_OUT, load
from darkroom.screens.lean_toolkit.typing_names import TYPING_NAMES
from darkroom.screens.red.red_app import RedApp
from tests.kit.loaded_toolkit import after_load

ROOT = Path(__file__).resolve().parents[3]
LEFT_OUT = STANDS_IN | STAYS_OUT


@pytest.fixture(scope="module")
def loaded() -> list[str]:
    """The names of all modules after a load, in a process of its own; without those that are stood in for."""
    names: list[str] = after_load(
        "from darkroom.screens.lean_toolkit.stand_ins import StandIn\n"
        "found = [name for name, module in sys.modules.items() if not isinstance(module, StandIn)]"
    )
    return names


def _for_types_alone(node: ast.stmt) -> bool:
    return isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test)


def _imported_by_name(module: str) -> Iterator[tuple[str, str]]:
    """Yield (module, name) of each `from module import name` that runs when a module is loaded."""
    spec = importlib.util.find_spec(module)
    if spec is None or spec.origin is None or not spec.origin.endswith(".py"):
        return
    waiting: list[ast.stmt] = list(ast.parse(Path(spec.origin).read_text(encoding="utf-8")).body)
    while waiting:
        node = waiting.pop()
        if isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield from ((node.module, alias.name) for alias in node.names)
        elif isinstance(node, ast.If | ast.Try) and not _for_types_alone(node):
            waiting += [*node.body, *node.orelse]


def test_the_toolkit_is_the_release_that_the_tables_are_made_for() -> None:
    """The release is pinned, and it is the one installed."""
    wanted = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["dependencies"]
    assert f"textual=={importlib.metadata.version('textual')}" in wanted


@pytest.mark.parametrize("module", sorted(LEFT_OUT))
def test_every_name_of_a_table_is_one_of_the_real_module(module: str) -> None:
    """The module has each name; what others derive from is a class."""
    real = importlib.import_module(module)
    assert all(hasattr(real, name) for name in LEFT_OUT[module].late)
    assert all(isinstance(getattr(real, base), type) for base in LEFT_OUT[module].bases)


def test_every_name_that_the_toolkit_takes_from_a_stand_in_is_in_the_tables(loaded: list[str]) -> None:
    """No module that is loaded takes a name that the stand-in would have to load its module for."""
    taken: dict[str, set[str]] = {}
    for module in loaded:
        if module.partition(".")[0] in ("textual", "rich"):
            for source, name in _imported_by_name(module):
                taken.setdefault(source, set()).add(name)
    for module, names in LEFT_OUT.items():
        assert taken.get(module, set()) <= {*names.late, *names.bases}, module
    assert {"Provider", "Hit", "CommandPalette"} <= taken["textual.command"]  # the search finds something
    assert taken["typing_extensions"] <= set(TYPING_NAMES)


def test_typing_has_the_names_that_are_taken_from_it() -> None:
    """Each name is in both modules since the oldest Python that runs the tool."""
    assert all(hasattr(typing, name) and hasattr(typing_extensions, name) for name in TYPING_NAMES)


def test_nothing_that_is_left_out_is_loaded(loaded: list[str]) -> None:
    """After a load no module of the tables is there, nor what only they bring, nor the network's TLS."""
    brought = {"ssl", "_ssl", "textual.types", "textual.fuzzy", "textual.containers"}
    unwanted = {*LEFT_OUT, *brought, "typing_extensions"}
    assert unwanted.isdisjoint(loaded)
    assert {"asyncio.sslproto", "textual.app", "textual.drivers.linux_driver"} <= set(loaded)
    assert not [name for name in loaded if name.startswith("textual.widgets.")]


def test_what_was_left_out_can_be_used_afterwards() -> None:
    """TLS, the command palette, a panel and a style with an action work after a load as without one."""
    found = after_load(
        "import ssl\n"
        "from textual.command import CommandPalette, Provider\n"
        "from textual.widgets import Input, Tooltip\n"
        "from textual.css.stylesheet import Panel\n"
        "from rich.panel import Panel as RealPanel\n"
        "from rich.style import Style\n"
        "import textual.screen, typing_extensions\n"
        "found = [ssl.SSLContext.__name__, CommandPalette.__name__, Provider.__module__, Input.__name__,\n"
        "    type(Panel('a')) is RealPanel, (Style() + Style(meta={'a': 1})).meta, Tooltip.__module__,\n"
        "    textual.screen.Tooltip.DEFAULT_CSS == Tooltip.DEFAULT_CSS,\n"
        "    typing_extensions.deprecated.__name__]"
    )
    assert found == [
        "SSLContext", "CommandPalette", "textual.command", "Input", True, {"a": 1},
        "textual.widgets._tooltip", True, "deprecated",
    ]  # fmt: skip


def test_late_patterns_of_the_toolkit_can_all_be_compiled() -> None:
    """Each pattern that waits in a module or a class of the toolkit compiles to a pattern of `re`."""
    count, wrong = after_load(
        "import re\n"
        "from darkroom.screens.lean_toolkit.toolkit_patterns import ToolkitPattern\n"
        "late = set()\n"
        "for module in [m for n, m in sys.modules.items() if n.split('.')[0] in ('rich', 'textual')]:\n"
        "    for value in list(vars(module).values()):\n"
        "        inside = vars(value).values() if hasattr(value, '__dict__') else ()\n"
        "        late |= {one for one in (value, *inside) if isinstance(one, ToolkitPattern)}\n"
        "found = [len(late), [str(p.real()) for p in late if not isinstance(p.real(), re.Pattern)]]"
    )
    assert count > 20 and wrong == []


def test_no_pattern_is_given_to_a_function_of_re(loaded: list[str]) -> None:
    """The toolkit calls methods of its patterns; `re.sub` and the like get texts, which late ones are not."""
    functions = {"match", "fullmatch", "search", "finditer", "findall", "split", "sub", "subn"}
    named: set[str] = set()
    for module in loaded:
        spec = importlib.util.find_spec(module) if module.partition(".")[0] in ("textual", "rich") else None
        if spec is None or spec.origin is None or not spec.origin.endswith(".py"):
            continue
        for node in ast.walk(ast.parse(Path(spec.origin).read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Call)
                and isinstance(node.func, ast.Attribute)
                and ast.unparse(node.func.value) == "re"
                and node.func.attr in functions
                and not isinstance(node.args[0], ast.Constant | ast.JoinedStr)
            ):
                named.add(f"{module}: {ast.unparse(node.args[0])}")
    assert named == {
        "rich.highlighter: self.JSON_STR",  # a text
        "rich.text: re.escape(separator)",
        "rich.text: re_words",  # a text
        "textual.content: re.escape(separator)",
    }


def test_what_is_stood_in_for_is_never_used_by_the_tool() -> None:
    """The command palette is off, and no tooltip or toast is ever mounted."""
    app = RedApp()
    assert not app.use_command_palette and not RedApp.ENABLE_COMMAND_PALETTE
    assert app._disable_tooltips and app._disable_notifications


def test_a_toolkit_that_is_loaded_already_is_left_as_it_is() -> None:
    """In this process the whole toolkit is there: a load puts no stand-in anywhere."""
    before = dict(sys.modules)
    load()
    assert {name: module for name, module in sys.modules.items() if before.get(name) is not module} == {}


@pytest.mark.parametrize(
    ("module", "base"),
    [("textual.widget", "Widget"), ("textual.message", "Message"), ("rich.jupyter", "JupyterMixin")],
)
def test_a_toolkit_that_the_tables_do_not_fit_is_loaded_whole(module: str, base: str) -> None:
    """Where others derive from what is stood in for the load fails; then all of the toolkit is real."""
    found = after_load(
        "from darkroom.screens.red.red_app import RedApp\n"
        "from darkroom.screens.lean_toolkit.stand_ins import LateName, StandIn\n"
        "from darkroom.screens.lean_toolkit.toolkit_patterns import ToolkitPattern\n"
        "toolkit = {n: m for n, m in sys.modules.items() if n.split('.')[0] in ('rich', 'textual')}\n"
        "unreal = [n for n, m in toolkit.items() if isinstance(m, StandIn)\n"
        "    or any(isinstance(value, (LateName, ToolkitPattern)) for value in vars(m).values())]\n"
        "found = [unreal, 'textual.command' in toolkit, RedApp().theme]",
        before="from darkroom.screens.lean_toolkit import load\n"
        "from darkroom.screens.lean_toolkit.stand_ins import Names\n"
        f"load.STANDS_IN[{module!r}] = Names(({base!r},))",
    )
    assert found == [[], True, RedApp().theme]
