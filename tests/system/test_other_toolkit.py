"""Another release of the toolkit: one line says which is needed, the terminal is given back, status 2."""

from __future__ import annotations

import sys
from importlib.metadata import requires
from pathlib import Path

import pytest

from darkroom.screens.toolkit_release import MADE_FOR, other_toolkit
from tests.kit.stopped_tool import OWN_COLOURS
from tests.kit.terminal import Terminal

LACKS = (
    "import textual._compositor as m; del m.ChopsUpdate",
    "import textual._xterm_parser as m; del m.XTermParser",
    "import rich.cells as m; del m.split_graphemes",
    "import sys; sys.modules['textual.strip'] = None",
    "import sys; sys.modules['textual'] = None",
)
"""What another release may lack: private names, a module, everything."""
RUN = "from darkroom.cli import run; run()"


@pytest.mark.system
@pytest.mark.parametrize("lacks", LACKS)
def test_what_the_toolkit_lacks_is_said_in_one_line(tmp_path: Path, lacks: str) -> None:
    """No trace: the sentence names the release that is needed and the one that is there."""
    with Terminal(200, 24, env={"DARKROOM_HOME": str(tmp_path)}) as terminal:
        terminal.spawn([sys.executable, "-c", f"{lacks}\n{RUN}"])
        assert terminal.wait() == 2
        terminal.wait_for(f"darkroom: the full-screen tool is made for textual {MADE_FOR}")
        assert f"pip install textual=={MADE_FOR}" in " ".join(terminal.screen().split())
        assert "Traceback" not in terminal.screen()
        assert OWN_COLOURS in terminal.data


def test_the_release_is_the_one_that_is_pinned() -> None:
    """What is said is what an installation asks for."""
    assert f"textual=={MADE_FOR}" in (requires("darkroom") or [])


def test_a_fault_of_our_own_is_not_laid_to_the_toolkit() -> None:
    """With the pinned release a name that we lack ourselves is no matter of the toolkit."""
    assert other_toolkit(AttributeError("'Tool' object has no attribute 'x'")) is None
    assert other_toolkit(ImportError("cannot import name 'x'", name="darkroom.screens.app")) is None


def test_any_missing_name_is_laid_to_another_release(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where another release is installed a missing attribute is most likely its."""
    monkeypatch.setattr("importlib.metadata.version", lambda name: "9.0.0")
    said = str(other_toolkit(AttributeError("'Screen' object has no attribute '_x'")))
    assert "textual 9.0.0" in said and "has no attribute '_x'" in said and "\n" not in said
