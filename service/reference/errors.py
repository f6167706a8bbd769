"""What stops the start: a fault in the reference data."""

from __future__ import annotations


class BadTable(Exception):
    """A reference file breaks its own card; the message names file and line."""
