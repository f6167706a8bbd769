"""Whether the links of a chain are all alike or of two kinds by turns, which decides at what counts it joins."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.reference.chains import OWN

if TYPE_CHECKING:
    from service.reference.attachments import LinkRow
    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize


def family_of(chain: ChainSize, reference: Reference) -> str | None:
    """Family of a size of the tables; None for own figures, which name none, and for a family not described."""
    if chain.row.source_id == OWN:
        return None
    found = reference.families.of_size(chain.row)
    return None if found is None else found.id


def links_of(chain: ChainSize, reference: Reference) -> LinkRow | None:
    """What is known of the links of a chain; None where its family is not known."""
    family = family_of(chain, reference)
    return None if family is None else reference.attachments.links[family]
