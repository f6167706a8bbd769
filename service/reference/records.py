"""The base of records above the core: what a calculation is given, what it finds, what the tables are gathered in.

Hundreds of such classes are defined at each start, and dozens of records made for each answer; a frozen Struct costs a
fraction of a frozen dataclass at either (figures in DEVELOPERS.md). The base stands here so that calculations, which
know no wire format, need not import msgspec; the core, which is the standard library alone, has ``NamedTuple``.
"""

import msgspec
from msgspec import field as field  # noqa: PLC0414 handed on
from msgspec.structs import replace as replace  # noqa: PLC0414 handed on


class Record(msgspec.Struct, frozen=True):
    """A frozen record; a subclass states ``frozen=True`` again, which the type checker asks for."""
