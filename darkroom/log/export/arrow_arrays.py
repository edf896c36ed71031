"""Arrow arrays made of plain buffers: what pyarrow's own conversion makes, without what that imports.

Its conversion loads numpy and pandas wherever they are installed, which takes more memory than the tables.
The layout of the buffers is that of the Arrow columnar format: a bit a value that says whether there is one,
the values or the ends of texts and lists, the values of what these hold.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Sequence
from itertools import accumulate, chain
from typing import Any

import pyarrow as pa


def made(values: Sequence[Any], of: pa.DataType) -> pa.Array:
    """Return an array of values of a type; None is null.

    Values are bool, int (for an instant and a day too), float or str, a list for a list, a dict for a
    struct and a list of (key, value) for a map. Raises TypeError or OverflowError for any other.
    """
    valid = _valid(values)
    if pa.types.is_boolean(of):
        return pa.Array.from_buffers(of, len(values), [valid, _bits(bool(value) for value in values)])
    if pa.types.is_string(of):
        encoded = [b"" if value is None else value.encode() for value in values]
        buffers = [valid, _ends(encoded), pa.py_buffer(b"".join(encoded))]
        return pa.Array.from_buffers(of, len(values), buffers)
    if pa.types.is_map(of):
        entries = [{"key": key, "value": value} for pairs in values for key, value in pairs or ()]
        held = made(entries, pa.struct([of.key_field, of.item_field]))
        return pa.Array.from_buffers(of, len(values), [valid, _ends(values)], children=[held])
    if pa.types.is_list(of):
        held = made(list(chain.from_iterable(value or () for value in values)), of.value_type)
        return pa.Array.from_buffers(of, len(values), [valid, _ends(values)], children=[held])
    if pa.types.is_struct(of):
        members = [made([value and value[member.name] for value in values], member.type) for member in of]
        return pa.Array.from_buffers(of, len(values), [valid], children=members)
    code = "d" if pa.types.is_float64(of) else {4: "i", 8: "q"}[of.bit_width // 8]
    numbers = array(code, [0 if value is None else value for value in values])
    return pa.Array.from_buffers(of, len(values), [valid, pa.py_buffer(numbers)])


def _valid(values: Sequence[object]) -> pa.Buffer | None:
    """Return the bits that say which values there are, None where all are."""
    return _bits(value is not None for value in values) if None in values else None


def _bits(values: Iterable[bool]) -> pa.Buffer:
    """Return a bit for each value, the first the lowest of the first byte."""
    signs = "".join("1" if value else "0" for value in values)[::-1]
    return pa.py_buffer(int(signs or "0", 2).to_bytes((len(signs) + 7) // 8, "little"))


def _ends(values: Iterable[Sequence[object] | None]) -> pa.Buffer:
    """Return where each value begins, and where the last one ends."""
    return pa.py_buffer(array("i", accumulate((len(value or ()) for value in values), initial=0)))
