"""The register of codes that answers carry: problems, faults and warnings."""

from pathlib import Path
from typing import Literal

import msgspec

from service.reference.errors import BadTable
from service.reference.toml_files import read_toml

CODES = Path(__file__).parent / "codes.toml"


class Code(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One code: what it is called and what it means, for a programmer and for a technician.

    ``fault_or_warning``: refused where nothing sound can be computed, told beside the answer where it can.
    """

    id: str
    kind: Literal["problem", "fault", "warning", "fault_or_warning"]
    title: str
    meaning: str


class _Register(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    code: list[Code]


def load_codes(path: Path = CODES) -> dict[str, Code]:
    """Read the register.

    Raises:
        BadTable: the file does not fit its form, or a code stands twice.
    """
    try:
        register = read_toml(path, _Register)
    except msgspec.DecodeError as error:
        raise BadTable(f"{path.name}: {error}") from error
    codes: dict[str, Code] = {}
    for code in register.code:
        if code.id in codes:
            raise BadTable(f"{path.name}: code {code.id} stands twice")
        codes[code.id] = code
    return codes
