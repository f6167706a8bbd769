"""Sizes by what can be measured on them: bands of every dimension, equal sizes of several standards as one."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from typing import TYPE_CHECKING, Literal, NamedTuple

from service.reference.records import Record, replace

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterable, Sequence

    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize, Family
    from service.reference.families import Families, Making
    from service.reference.figures import Figure
    from service.reference.identification_bands import BandRow

Dimension = Literal[
    "pitch",
    "roller_diameter",
    "inner_width",
    "pin_diameter",
    "plate_height",
    "outer_plate_height",
    "plate_thickness",
    "transverse_pitch",
    "width_over_pins",
    "chain_width",
    "wire_diameter",
    "link_width",
    "barrel_length",
    "wheel_outside_diameter",
    "wheel_caliper_diameter",
    "wheel_tooth_width",
]
PlateEdges = Literal["waisted", "straight"]
GuideType = Literal["centre", "two_centre", "side"]

QUANTITIES: dict[Dimension, tuple[str, ...]] = {
    "pitch": ("pitch",),
    "roller_diameter": (
        "roller_diameter",
        "barrel_diameter",
        "bush_diameter",
        "carrying_roller_diameter",
        "small_roller_diameter",
    ),
    "inner_width": ("inner_width",),
    "pin_diameter": ("pin_diameter",),
    "plate_height": ("inner_plate_height", "plate_height"),
    "outer_plate_height": ("outer_plate_height",),
    "plate_thickness": ("plate_thickness",),
    "transverse_pitch": ("transverse_pitch",),
    "width_over_pins": ("width_over_pins", "overall_width"),
    "chain_width": ("nominal_width",),
    "wire_diameter": ("wire_diameter",),
    "link_width": ("link_width",),
    "barrel_length": ("barrel_length", "bearing_length"),
}
"""Quantities of the tables that a measured dimension may be."""
_DIMENSION_OF = {quantity: dimension for dimension, quantities in QUANTITIES.items() for quantity in quantities}

LEAST_DIMENSIONS = 2
"""Chains of which fewer dimensions are printed are never taken for equal."""
_ONLY: dict[Dimension, frozenset[str]] = {
    "chain_width": frozenset({"silent"}),
    "wire_diameter": frozenset({"round_link"}),
    "transverse_pitch": frozenset({"roller"}),
    "link_width": frozenset({"round_link", "flat_top", "detachable"}),
}
"""Families that alone have a dimension."""
_NO_PLATES = frozenset({"round_link", "detachable", "flat_top"})
_WITHOUT: dict[Dimension, frozenset[str]] = {
    "roller_diameter": frozenset({"leaf", "silent", "round_link", "detachable", "rivetless"}),
    "inner_width": frozenset({"leaf", "silent", "detachable", "flat_top"}),
    "plate_height": _NO_PLATES,
    "outer_plate_height": _NO_PLATES,
    "plate_thickness": _NO_PLATES,
    "barrel_length": frozenset({"leaf", "silent", "round_link", "detachable", "roller", "double_pitch_roller"}),
}
"""Families that have no such part."""
_EDGES: dict[str, PlateEdges] = {"standard": "waisted", "a": "waisted", "b": "waisted"}
_GUIDES: dict[str, frozenset[GuideType]] = {
    "side_guide": frozenset({"side"}),
    "centre_guide": frozenset({"centre"}),
    "two_centre_guides": frozenset({"two_centre"}),
    "side_or_centre_guide": frozenset({"side", "centre"}),
}


class Band(Record, frozen=True):
    """Plausible actual values of one dimension of one size, in millimetres, and the figure they rest on."""

    figure: Figure
    expected: float
    new_low: float
    new_high: float
    worn_low: float
    worn_high: float


class Hull(NamedTuple):
    """Least and greatest plausible value of a dimension over all its figures, and the first printed."""

    low: float
    high: float
    expected: float


class Kind(Record, frozen=True):
    """One set of printed dimensions, everything that can be measured on it, and every chain that has it.

    ``chains`` are the chains of this set, each with its equals in other standards: what is told of them but no
    dimension tells them apart, such as WR78 and WH78, of which one is heat treated throughout.
    """

    chains: tuple[tuple[ChainSize, ...], ...]
    bands: dict[Dimension, tuple[Band, ...]]
    counts: dict[str, int]
    edges: PlateEdges | None
    guides: frozenset[GuideType]
    made_by: frozenset[Making]
    family: Family
    hulls: dict[Dimension, Hull]
    lacking: frozenset[Dimension]

    @property
    def sizes(self) -> tuple[ChainSize, ...]:
        """The first chain, with its equals in other standards."""
        return self.chains[0]

    @property
    def size(self) -> ChainSize:
        """The size after which the kind is called."""
        return self.chains[0][0]

    @property
    def pitch_mm(self) -> float | None:
        """Printed pitch, where it is fixed."""
        bands = self.bands.get("pitch")
        return bands[0].figure.value if bands else None

    @property
    def equal_chains(self) -> tuple[tuple[ChainSize, ...], ...]:
        """The chains where there are several of these dimensions; none where there is but one."""
        return self.chains if len(self.chains) > 1 else ()

    def holds(self, size: ChainSize) -> bool:
        """Whether a size is one of the chains of this set."""
        return any(size in equals for equals in self.chains)


class IdentificationIndex:
    """All kinds, those with a fixed pitch in order of it."""

    def __init__(self, reference: Reference) -> None:
        rows: dict[tuple[str, str], BandRow] = {
            (row.quantity, row.side): row for row in reference.identification_bands.rows
        }
        self.kinds = _joined(_kind(sizes, rows, reference.families) for sizes in _groups(reference))
        fixed = [(kind.pitch_mm, kind) for kind in self.kinds if kind.pitch_mm is not None]
        fixed.sort(key=lambda entry: entry[0] or 0.0)
        self._pitches = [pitch or 0.0 for pitch, _ in fixed]
        self._fixed = [kind for _, kind in fixed]
        self._any_pitch = tuple(kind for kind in self.kinds if kind.pitch_mm is None)
        self._having = {
            dimension: tuple(kind for kind in self.kinds if dimension in kind.bands) for dimension in QUANTITIES
        }

    def having(self, dimension: Dimension) -> tuple[Kind, ...]:
        """Kinds of which a dimension is printed."""
        return self._having[dimension]

    def near_pitch(self, low_mm: float, high_mm: float) -> Iterable[Kind]:
        """Kinds whose printed pitch lies between two values, and those made in any pitch."""
        start, end = bisect_left(self._pitches, low_mm), bisect_right(self._pitches, high_mm)
        return (*self._fixed[start:end], *self._any_pitch)


def _groups(reference: Reference) -> Iterable[tuple[ChainSize, ...]]:
    taken: set[str] = set()
    for size in reference.chains.sizes:
        if size.designation in taken:
            continue
        equal = (size.designation, *reference.equivalents.same_size(size.designation))
        taken.update(equal)
        yield tuple(reference.chains.get(name) for name in equal)


def _joined(kinds: Iterable[Kind]) -> tuple[Kind, ...]:
    """Kinds of one family with equal printed dimensions as one; a single printed dimension says too little for that."""
    sets: dict[Hashable, Kind] = {}
    for kind in kinds:
        printed = tuple(
            (dimension, tuple((band.figure.quantity, band.figure.side, band.expected) for band in bands))
            for dimension, bands in kind.bands.items()
        )
        key: Hashable = (kind.family, kind.edges, kind.guides, kind.made_by, *kind.counts.items(), printed)
        if len(printed) < LEAST_DIMENSIONS:
            key = kind.size.designation
        first = sets.get(key)
        sets[key] = kind if first is None else replace(first, chains=(*first.chains, *kind.chains))
    return tuple(sets.values())


def _kind(sizes: tuple[ChainSize, ...], rows: dict[tuple[str, str], BandRow], families: Families) -> Kind:
    made: dict[Dimension, list[Band]] = {}
    for size in sizes:
        for figure in size.figures:
            dimension = _DIMENSION_OF.get(figure.quantity)
            if dimension is not None:
                made.setdefault(dimension, []).append(_band(figure, rows[figure.quantity, figure.side]))
    bands = {dimension: tuple(made[dimension]) for dimension in QUANTITIES if dimension in made}
    row = sizes[0].row
    edges = _EDGES.get(row.series, "straight") if row.family == "double_pitch_roller" else None
    family = families.of_size(row)
    return Kind(
        chains=(sizes,),
        bands=bands,
        counts=_counts(sizes[0]),
        edges=edges,
        guides=_GUIDES.get(row.series, frozenset()),
        made_by=frozenset(family.made_by) if family is not None else frozenset(),
        family=row.family,
        hulls={dimension: _hull(made) for dimension, made in bands.items()},
        lacking=frozenset(dimension for dimension in QUANTITIES if _lacks(row.family, dimension)),
    )


def _lacks(family: Family, dimension: Dimension) -> bool:
    """Whether chain of a family has no such part, so that one measured on it rules it out."""
    return family in _WITHOUT.get(dimension, ()) or (dimension in _ONLY and family not in _ONLY[dimension])


def _hull(bands: Sequence[Band]) -> Hull:
    return Hull(min(band.worn_low for band in bands), max(band.worn_high for band in bands), bands[0].expected)


def _band(figure: Figure, row: BandRow) -> Band:
    return Band(
        figure,
        figure.value,
        figure.value * (1 + row.new_low_percent / 100),
        figure.value * (1 + row.new_high_percent / 100),
        figure.value * (1 + row.worn_low_percent / 100),
        figure.value * (1 + row.worn_high_percent / 100),
    )


def _counts(size: ChainSize) -> dict[str, int]:
    counts = {}
    for name, quantity in (
        ("pin_link_plates", "pin_link_plate_count"),
        ("articulating_plates", "articulating_plate_count"),
    ):
        figure = size.find(quantity)
        if figure is not None:
            counts[name] = round(figure.value)
    return counts
