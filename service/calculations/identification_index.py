"""Sizes by what can be measured on them: bands of every dimension, equal sizes of several standards as one."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from typing import TYPE_CHECKING, Literal

from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Iterable

    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize
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


class Kind(Record, frozen=True):
    """One size, with its equals in other standards, and everything that can be measured on it."""

    sizes: tuple[ChainSize, ...]
    bands: dict[Dimension, tuple[Band, ...]]
    counts: dict[str, int]
    edges: PlateEdges | None
    guides: frozenset[GuideType]
    made_by: frozenset[Making]

    @property
    def size(self) -> ChainSize:
        """The size after which the kind is called."""
        return self.sizes[0]

    @property
    def pitch_mm(self) -> float | None:
        """Printed pitch, where it is fixed."""
        bands = self.bands.get("pitch")
        return bands[0].figure.value if bands else None

    def lacks(self, dimension: Dimension) -> bool:
        """Whether chain of this family has no such part, so that one measured on it rules it out."""
        family = self.size.row.family
        return family in _WITHOUT.get(dimension, ()) or (dimension in _ONLY and family not in _ONLY[dimension])


class IdentificationIndex:
    """All kinds, those with a fixed pitch in order of it."""

    def __init__(self, reference: Reference) -> None:
        rows: dict[tuple[str, str], BandRow] = {
            (row.quantity, row.side): row for row in reference.identification_bands.rows
        }
        self.kinds = tuple(_kind(sizes, rows, reference.families) for sizes in _groups(reference))
        fixed = [(kind.pitch_mm, kind) for kind in self.kinds if kind.pitch_mm is not None]
        fixed.sort(key=lambda entry: entry[0] or 0.0)
        self._pitches = [pitch or 0.0 for pitch, _ in fixed]
        self._fixed = [kind for _, kind in fixed]
        self._any_pitch = tuple(kind for kind in self.kinds if kind.pitch_mm is None)

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
    made_by = frozenset(family.made_by) if family is not None else frozenset()
    return Kind(sizes, bands, _counts(sizes[0]), edges, _GUIDES.get(row.series, frozenset()), made_by)


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
