"""A fault that a plate was judged to have, as one record: what it is called, and where it is. Pure."""

from __future__ import annotations

import msgspec


class JudgedFault(msgspec.Struct, frozen=True):
    """A fault of the plate: its name, and where on the plate it is.

    Both are free texts: whatever signs they hold, a joined text is never taken apart again.
    """

    name: str
    where: str | None = None

    @property
    def text(self) -> str:
        """The fault in one text: "fog (left edge)"."""
        return f"{self.name} ({self.where})" if self.where else self.name
