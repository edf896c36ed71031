"""The toolkit as the full-screen tool loads it, looked at from a process of its own."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

_ROOT = Path(__file__).resolve().parents[2]

_LOOK = """
import json, sys
sys.path.insert(0, {root!r})
{before}
from darkroom.screens.lean_toolkit.load import load
load()
{look}
print(json.dumps(found))
"""


def after_load(look: str, before: str = "") -> Any:
    """Return what the statements of `look`, run after the toolkit is loaded, put into `found`.

    The statements of `before` are run before that.
    """
    script = _LOOK.format(root=str(_ROOT), before=before, look=look)
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    return json.loads(run.stdout)
