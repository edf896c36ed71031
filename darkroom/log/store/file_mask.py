"""The file mask: what this process makes is its user's alone, but for what they name and give away."""

from __future__ import annotations

import os

PRIVATE = 0o077
"""Folders are 0700 and files 0600, the catalogue's and those of the processes that are started too."""
_users: list[int] = []
"""The mask as it was, once it has been taken."""


def take() -> None:
    """Make all that this process makes from now on its user's alone, whatever the mask is."""
    mask = os.umask(PRIVATE)
    if not _users:
        _users.append(mask)


def of_user() -> int:
    """Return the mask that the user set: it holds for an export."""
    if _users:
        return _users[0]
    mask = os.umask(PRIVATE)
    os.umask(mask)
    return mask
