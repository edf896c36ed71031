"""Arrays made of plain buffers, against pyarrow's own conversion of the same values."""

from __future__ import annotations

import subprocess
import sys
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

pytest.importorskip("pyarrow", reason="pyarrow's own conversion is compared with")

import pyarrow as pa

from darkroom.log.export.arrow_arrays import made
from darkroom.log.export.parquet_tables import types
from tests.kit.nightly import examples

TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
MAYBE_TEXTS = st.none() | TEXTS
PAIRS = st.lists(st.tuples(TEXTS, TEXTS), max_size=3)
CAUSES = st.fixed_dictionaries({"name": TEXTS, "where": MAYBE_TEXTS, "cause": MAYBE_TEXTS, "answers": PAIRS})
LONG = st.integers(-(2**63), 2**63 - 1)
VALUES: dict[str, st.SearchStrategy[Any]] = {
    "text": TEXTS,
    "whole": LONG,
    "number": st.floats(allow_nan=False),
    "yes_no": st.booleans(),
    "instant": st.integers(-62_135_596_800_000_000, 253_402_300_799_999_999),
    "day": st.integers(-719_162, 2_932_896),
    "texts": st.lists(MAYBE_TEXTS, max_size=3),
    "numbers": st.lists(st.none() | st.floats(allow_nan=False), max_size=3),
    "by_role": PAIRS,
    "pairs": st.lists(st.fixed_dictionaries({"key": TEXTS, "value": TEXTS}), max_size=3),
    "causes": st.lists(CAUSES, max_size=3),
}


@pytest.mark.parametrize("kind", types())
@settings(max_examples=examples(60))
@given(st.data())
def test_it_is_the_array_that_pyarrow_makes(kind: Any, data: st.DataObject) -> None:
    """Of every kind of column, with nulls anywhere, of any length: sound, and the same values."""
    values = data.draw(st.lists(st.none() | VALUES[kind], max_size=20))
    array = made(values, types()[kind])
    array.validate(full=True)
    assert array.equals(pa.array(values, types()[kind]))
    assert array.null_count == values.count(None)


def test_neither_numbers_nor_frames_are_loaded() -> None:
    """Making arrays loads no pandas, which pyarrow's own conversion does wherever it is installed."""
    program = (
        "import sys\nfrom darkroom.log.export.arrow_arrays import made\n"
        "from darkroom.log.export.parquet_tables import types\n"
        "for of in types().values(): made([None], of)\n"
        "made(['a'], types()['text']), made([1], types()['instant'])\nprint('pandas' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout == "False\n"
