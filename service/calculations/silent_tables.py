"""Silent chain laid ready for drives: standard widths of each pitch and the ratings of the generation at hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.drive_tables import used_of
from service.core.conversions import MM_PER_INCH
from service.core.errors import Issue, NotInReference
from service.core.silent_rating import greatest_width
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.trace import Used
    from service.core.silent_rating import RatingPoint
    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize


class SilentWidth(Record, frozen=True):
    """A standard chain of one pitch."""

    size: ChainSize
    pitch_in: float
    width_in: float

    @property
    def pitch_mm(self) -> float:
        """Pitch in mm."""
        return self.pitch_in * MM_PER_INCH


class SilentPitch(Record, frozen=True):
    """A pitch with its standard widths, narrow to wide, and its rating points; no points are a hole."""

    pitch_in: float
    widths: tuple[SilentWidth, ...]
    points: tuple[RatingPoint, ...]
    used: tuple[Used, ...]

    @property
    def pitch_mm(self) -> float:
        """Pitch in mm."""
        return self.pitch_in * MM_PER_INCH

    @property
    def teeth(self) -> tuple[int, int]:
        """Fewest and most teeth of the small wheel that are rated."""
        return min(point.teeth for point in self.points), max(point.teeth for point in self.points)

    @property
    def speeds_rpm(self) -> tuple[float, float]:
        """Slowest and fastest speed of the small wheel that is rated."""
        return min(point.speed_rpm for point in self.points), max(point.speed_rpm for point in self.points)


class SilentTables:
    """Built once from the reference data."""

    def __init__(self, reference: Reference) -> None:
        self.reference = reference
        self.factors = reference.factors.silent
        rows = self.factors.ratings.rows
        self.generation = rows[-1].generation
        offset = reference.proportions.where(rule="silent_offset_width_factor")[0]
        self.offset_width_factor = offset.value
        self.offset_used = (used_of(offset, "width of silent chain with an offset section"),)
        widths: dict[float, list[SilentWidth]] = {}
        for size in reference.chains.sizes:
            if size.row.family == "silent" and size.row.standard == "ASME B29.2M":
                pitch_in = size.figure("pitch").printed_value
                width_in = size.figure("nominal_width").printed_value
                widths.setdefault(pitch_in, []).append(SilentWidth(size, pitch_in, width_in))
        self.pitches = {
            pitch_in: SilentPitch(
                pitch_in,
                tuple(sorted(of_pitch, key=lambda width: width.width_in)),
                self.factors.rating_points(pitch_in, self.generation),
                tuple(
                    used_of(row, f"ratings of silent chain of {pitch_in:g} in pitch, generation {self.generation}")
                    for row in [row for row in rows if row.pitch_in == pitch_in][:1]
                ),
            )
            for pitch_in, of_pitch in sorted(widths.items())
        }
        self.by_designation = {
            width.size.designation: width for pitch in self.pitches.values() for width in pitch.widths
        }

    def usable_widths(self, pitch: SilentPitch) -> tuple[SilentWidth, ...]:
        """The standard widths up to the recommended greatest one."""
        most = greatest_width(pitch_in=pitch.pitch_in)
        return tuple(width for width in pitch.widths if width.width_in <= most)

    def width(self, size: ChainSize, field: str) -> SilentWidth:
        """A silent chain of the standard.

        Raises:
            NotInReference: ``rating_not_available``, for silent chain of other standards.
        """
        found = self.by_designation.get(size.designation)
        if found is None:
            message = f"No power rating of {size.designation} ({size.row.standard}) is in the tables."
            hint = "Rated are chains of ASME B29.2M, SC03 to SC8."
            raise NotInReference(Issue(field, "rating_not_available", message, None, size.designation, hint))
        return found
