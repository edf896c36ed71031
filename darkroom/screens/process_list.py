"""The processes to choose from: the shipped ones and the user's own, each read when it is asked for."""

from __future__ import annotations

from pathlib import Path

from darkroom.errors import DarkroomError, is_text
from darkroom.process.model import Process


class ProcessList:
    """The processes that can be chosen: the shipped ones and the user's own."""

    def __init__(self, home: Path) -> None:
        self.home = home
        self._names: list[str] | None = None
        self._titles: dict[str, str] = {}

    def names(self) -> list[str]:
        """Return the file stems of the shipped processes and the user's own, shipped first.

        One that is no text is left out: neither the form nor bench.json can hold it.
        """
        from darkroom import resources

        if self._names is None:
            own = sorted(path.stem for path in resources.own_processes(self.home) if is_text(path.stem))
            shipped = sorted(path.stem for path in resources.profiles_dir().glob("*.yaml"))
            self._names = shipped + [name for name in own if name not in shipped]
        return self._names

    def read(self, name: str) -> Process:
        """Return the checked process of a name of the list, or of a path.

        Raises NotReadable or ProcessError.
        """
        from darkroom import resources

        own = self.home / "profiles" / f"{name}.yaml"
        if name in self.names() and not (resources.profiles_dir() / own.name).exists():
            return resources.read_process(own)
        return resources.load_process(name)

    def title(self, name: str) -> str:
        """Return the process's own name in its file, or "" when it cannot be read."""
        if name not in self._titles:
            try:
                self._titles[name] = self.read(name).name if name else ""
            except DarkroomError:
                self._titles[name] = ""
        return self._titles[name]
