"""What a reading is judged against: the limit of the case and the ladder of status, worked out once for each case."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from service.calculations.trace import Trace
from service.calculations.wear_limit import choose_limit, is_lifting
from service.calculations.wear_verdict import ladder

if TYPE_CHECKING:
    from service.calculations.wear_limit import ChosenLimit, LimitCase
    from service.calculations.wear_verdict import Ladder, OwnThresholds
    from service.reference.catalogue import Reference

MOST_KEPT = 1024
"""Cases kept; a batch of a thousand chains has a few dozen of them."""


class Basis(NamedTuple):
    """Limit and ladder of a case."""

    limit: ChosenLimit
    steps: Ladder


class _Kept(NamedTuple):
    basis: Basis
    noted: Trace
    reference: Reference


_kept: dict[tuple[object, ...], _Kept] = {}


def basis_of(family: str, case: LimitCase, own: OwnThresholds, reference: Reference, trace: Trace) -> Basis:
    """Limit and ladder for a case, with what should be known about them in the trace.

    Both depend on the case alone, so they are kept with what they noted; where steps are asked for they are worked
    out anew.

    Raises:
        Inconsistent: the family is judged by other measures, or the thresholds do not rise.
    """
    if trace.keeps_steps:
        return _basis(family, case, own, reference, trace)
    # The tables are one object for the life of a process; each entry keeps them, so that the number stays theirs.
    key = (family, case, own, id(reference))
    known = _kept.get(key)
    if known is None:
        noted = Trace()
        known = _Kept(_basis(family, case, own, reference, noted), noted, reference)
        if len(_kept) >= MOST_KEPT:
            _kept.clear()
        _kept[key] = known
    trace.absorb(known.noted)
    return known.basis


def _basis(family: str, case: LimitCase, own: OwnThresholds, reference: Reference, trace: Trace) -> Basis:
    limit = choose_limit(family, case, reference, trace)
    return Basis(limit, ladder(lifting=is_lifting(family), own=own, limit=limit, wear=reference.wear, trace=trace))
