"""Whether the installed toolkit is the one that the screens are made for, and what is said when not."""

from __future__ import annotations

from darkroom.errors import WrongUse

MADE_FOR = "8.2.8"
"""The release of textual that `pyproject.toml` pins: the red locks use names that are private to it."""
LIBRARIES = ("textual", "rich")
"""The toolkit, and the library that it draws with, whose release it leaves open."""


def other_toolkit(error: ImportError | AttributeError) -> WrongUse | None:
    """Return the error that says which release the screens need; None where `error` is not of a toolkit.

    It is when a module of the toolkit lacks a name or cannot be loaded, or another release is installed.
    """
    from importlib.metadata import PackageNotFoundError, version

    found = {}
    for library in LIBRARIES:
        try:
            found[library] = version(library)
        except PackageNotFoundError:
            found[library] = "missing"
    module = str(getattr(error, "name", None) or "").partition(".")[0]
    is_of_the_toolkit = isinstance(error, ImportError) and module in LIBRARIES
    if not is_of_the_toolkit and found["textual"] == MADE_FOR:
        return None
    here = ", ".join(f"{library} {release}" for library, release in found.items())
    reason = " ".join(str(error).partition(" (/")[0].split())
    return WrongUse(
        f"the full-screen tool is made for textual {MADE_FOR} and does not start with {here} ({reason}); "
        f"pip install textual=={MADE_FOR} mends it, the other commands work as they are"
    )
