"""``python -m service.reference seal [TABLE ...]``: write the hash of edited tables into their cards, and parse all."""

from __future__ import annotations

import hashlib
import re
import sys

from service.reference.loader import TABLES
from service.reference.toml_files import PARSED, parse_again


def seal(name: str) -> bool:
    """Write the CSV's hash into the card; True if it changed."""
    card = TABLES / f"{name}.toml"
    digest = hashlib.sha256((TABLES / f"{name}.csv").read_bytes()).hexdigest()
    old = card.read_text(encoding="utf-8")
    new = re.sub(r'^sha256 = ".*"$', f'sha256 = "{digest}"', old, count=1, flags=re.MULTILINE)
    if new == old:
        return False
    card.write_text(new, encoding="utf-8")
    return True


def main(arguments: list[str]) -> int:
    """Seal the named tables, or all, and write the parsed copy of cards and registers."""
    if not arguments or arguments[0] != "seal":
        sys.stderr.write(f"{__doc__}\n")
        return 2
    for name in arguments[1:] or sorted(path.stem for path in TABLES.glob("*.csv")):
        if seal(name):
            sys.stdout.write(f"sealed {name}\n")
    PARSED.write_bytes(parse_again())
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
