"""What a terminal may send that is no strike: known sequences, malformed ones, and mutations of both."""

from __future__ import annotations

import random

KNOWN = [
    b"\x1b[A", b"\x1b[3~", b"\x1bOQ", b"\x1b[15~", b"\x1b[1;5C", b"\x1b[Z", b"\x1b[32;1u", b"\x1b[120;2;88u",
    b"\x1b[57441;2u", b"\x1b[97;;97:98u", b"\x1b[1;1R", b"\x1b[48;24;80;0;0t", b"\x1b[?2026;2$y",
    b"\x1b[?2048;2$y", b"\x1b[<0;10;10M", b"\x1b[M !!", b"\x1b[I", b"\x1b[O", b"\x1b[200~pasted\x1b[201~",
    "é".encode(), "光".encode(), "\U0001f4f7".encode(),
]  # fmt: skip
"""One of each kind of sequence that terminals send: xterm, the kitty keyboard protocol, UTF-8."""
MALFORMED = [
    b"\x1b[1114112u",
    b"\x1b[55296u",
    b"\x1b[32;1:3u",
    b"\x1b[32;1;1114112u",
    b"\x1b[32;1;55296u",
    b"\x1b[99999999999R",
    b"\x1b[99999999999;99999999999R",
    b"\x1b[48;99999;99999;0;0t",
    b"\x1b[?2048;9$y",
    b"\x1b[<99999999999;1;1M",
]


def mutated(rng: random.Random) -> bytes:
    """Return a known sequence with a few bytes replaced, doubled, left out, or numbers made long."""
    data = bytearray(rng.choice(KNOWN + MALFORMED))
    for _ in range(rng.randint(1, 4)):
        at = rng.randrange(len(data) + 1)
        kind = rng.randrange(4)
        if kind == 0:
            data[at : at + 1] = bytes([rng.randrange(256)])
        elif kind == 1:
            data[at:at] = rng.choice(
                [b";", b":", b"9999999", b"-1", b"\x1b", b"[", b"u", b"R", b"t", b"\xff"]
            )
        elif kind == 2:
            del data[at : at + 1]
        else:
            data[at:at] = data[: rng.randrange(8)]
    return bytes(data)
