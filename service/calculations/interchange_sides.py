"""The two sides of a question of interchange, and what is known of each."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.reference.chains import OWN
from service.reference.records import Record, replace

if TYPE_CHECKING:
    from service.calculations.trace import Trace
    from service.reference.chains import ChainSize
    from service.reference.figures import Side
    from service.reference.interchange import FamilyRow, InterchangeReference
    from service.reference.wheel_names import Hub

Guide = Literal["centre", "two_centre", "side", "none"]
Profile = Literal["asme_b29_2", "gost_13552", "din_8190", "maker_own"]
Material = Literal["carbon_steel", "stainless_steel", "plastic"]
Finish = Literal["plain", "plated", "coated"]
WheelKind = Literal["toothed", "sheave", "pocket_wheel"]


class Known(Record, frozen=True):
    """A figure of one side in its canonical unit, and as what it is printed."""

    value: float
    side: Side = "nominal"
    printed_unit: str = ""


class SilentForm(Record, frozen=True):
    """What a caller knows of a silent chain beside its designation."""

    nominal_width_mm: float | None = None
    guide: Guide | None = None
    profile: Profile | None = None


class ComparedChain(Record, frozen=True, kw_only=True):
    """One chain of the question; measured values stand before tabulated ones."""

    field: str
    name: str
    size: ChainSize
    strand_count: int = 1
    pitch_mm: float | None = None
    seating_diameter_mm: float | None = None
    overall_width_mm: float | None = None
    silent: SilentForm = SilentForm()
    material: Material | None = None
    finish: Finish | None = None
    elongation_percent: float | None = None

    @property
    def own(self) -> bool:
        """Whether the figures are the caller's."""
        return self.size.row.source_id == OWN

    @property
    def measured(self) -> bool:
        """Whether pitch or seat were sent for a size of the tables."""
        return not self.own and (self.pitch_mm is not None or self.seating_diameter_mm is not None)

    def family(self, tables: InterchangeReference) -> FamilyRow:
        """How the family of this chain meets its wheel."""
        return tables.families[self.size.row.family]

    def named(self, size: ChainSize) -> ComparedChain:
        """The same chain under another name of its size."""
        return replace(self, size=size, name=size.designation)


class ComparedWheel(Record, frozen=True, kw_only=True):
    """The wheel of the question: the size that it was made for, single figures, or both."""

    kind: WheelKind = "toothed"
    size: ChainSize | None = None
    strand_count: int = 1
    teeth: int | None = None
    pitch_mm: float | None = None
    seating_diameter_mm: float | None = None
    tooth_width_mm: float | None = None
    transverse_pitch_mm: float | None = None
    face_width_mm: float | None = None
    wire_diameter_mm: float | None = None
    outside_diameter_mm: float | None = None
    guide: Guide | None = None
    profile: Profile | None = None
    hub: Hub | None = None
    worn: bool | None = None


def known(chain: ComparedChain, quantity: str, trace: Trace, strand_count: int = 1) -> Known | None:
    """A figure of a chain, with its source noted; None where nobody knows it."""
    figure = chain.size.find(quantity, strand_count)
    if figure is None:
        return None
    if chain.own:
        trace.assume_once(f"{chain.field}.own_chain.{quantity}", figure.value, "given", "figure of the caller")
    else:
        trace.figure(chain.size, quantity, strand_count)
    return Known(figure.value, figure.side, figure.printed_unit)


def pitch_of(chain: ComparedChain, trace: Trace) -> Known | None:
    """The pitch: the caller's, else the table's."""
    if chain.pitch_mm is not None:
        trace.assume_once(f"{chain.field}.pitch", chain.pitch_mm, "given", "stands before the table")
        return Known(chain.pitch_mm)
    return known(chain, "pitch", trace)


def seat_of(chain: ComparedChain, tables: InterchangeReference, trace: Trace) -> Known | None:
    """The diameter in the tooth gap: measured, else that of the roller, bush or barrel."""
    quantities = ["roller_diameter"] if chain.own else chain.family(tables).seat_figures.split()
    figures = (known(chain, quantity, trace) for quantity in quantities)
    tabulated = next((figure for figure in figures if figure is not None), None)
    measured = chain.seating_diameter_mm
    if measured is None:
        return tabulated
    tolerance = tables.tolerances["seating_diameter"].relative
    if tabulated is not None and abs(measured - tabulated.value) > tolerance * max(measured, tabulated.value):
        message = (
            f"{chain.name} has {tabulated.value:.4g} mm in the tooth gap by the tables and {measured:.4g} mm as sent: "
            "it may be another chain of the same number, or worn; the value sent was compared."
        )
        trace.warn("barrel_differs", message, field=f"{chain.field}.seating_diameter_mm")
    return Known(measured)
