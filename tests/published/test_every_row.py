"""Every row says who printed it and how that was read; none rests on memory."""

import tomllib
from pathlib import Path
from typing import Any

import pytest

HERE = Path(__file__).parent
# R read in the source itself (R-abs its abstract, R-code its program), R2 in a reproduction of
# it, D plain arithmetic on such values. What is from memory has no row: it is nobody's figure.
KNOWN = {"R", "R-abs", "R-code", "R2", "D"}


# What was judged by hand against the files themselves: nobody printed it, each row says why.
JUDGED = {"findings"}


def rows() -> Any:
    for file in sorted(file for file in HERE.glob("*.toml") if file.stem not in JUDGED):
        tables = tomllib.loads(file.read_text(encoding="utf-8"))
        for table, listed in tables.items():
            for at, row in enumerate(listed):
                yield pytest.param(row, id=f"{file.stem}-{table}-{at}")


@pytest.mark.parametrize("row", list(rows()))
def test_a_row_has_a_source_and_was_read_or_reckoned(row):
    # A finding on an open collection names the collection, which is what was read.
    source = row.get("source") or row["collection"]
    assert source.strip()
    assert row.get("status", "R") in KNOWN
    assert "memory" not in source.lower()
