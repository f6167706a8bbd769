"""What is shown of a chain size: its figures with their sources, its names, its relations and notes."""

from typing import Annotated, Literal

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import AnswerCaution, AnswerWarning, Context, Versions
from service.api.quantities import PRESENTERS, Presenter, Quantity
from service.reference.chain_notes import LIFTING_FAMILIES, ChainNotes
from service.reference.chains import ChainSize, Family
from service.reference.designations import Designation
from service.reference.equivalents import Relation
from service.reference.figures import Figure, Side
from service.reference.loader import Confidence, Row
from service.units.table import System

AliasStatus = Literal["current", "superseded", "informal"]
_KIND_OF_UNIT = {"mm": "length", "N": "force", "kg/m": "mass_per_length", "mm2": "area"}


class Provenance(msgspec.Struct, frozen=True, kw_only=True):
    """Where a row is printed: register id (`GET /v1/sources/{id}`), place in it, and how it was seen."""

    source_id: str
    locator: str
    confidence: Confidence
    note: str = ""


class ChainFigure(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One printed figure of a size; where sources disagree each is shown, and one is preferred."""

    quantity: Annotated[str, Meta(description="Name of the quantity, explained at `GET /v1/quantities`.")]
    value: Quantity
    side: Annotated[Side, Meta(description="Whether the source limits the figure or states it as nominal.")]
    strand_count: Annotated[int, Meta(description="Left out where the figure holds for any strands.")] | UnsetType = (
        UNSET
    )
    printed_value: Annotated[float, Meta(description="As the source prints it.")]
    printed_unit: str
    preferred: Annotated[bool, Meta(description="Whether calculations use this figure.")]
    table: Annotated[str, Meta(description="Reference table of the row, `GET /v1/tables/{name}`.")]
    provenance: Provenance


class ChainAlias(msgspec.Struct, frozen=True, kw_only=True):
    """Another name of the size."""

    name: str
    scheme: str
    status: AliasStatus
    provenance: Provenance


class ChainRelation(msgspec.Struct, frozen=True, kw_only=True):
    """A relation, read from left to right: `80H` `heavy_series_of` `80`."""

    designation: str
    relation: Relation
    other: str
    provenance: Provenance


class SourceTitle(msgspec.Struct, frozen=True, kw_only=True):
    """A publication that the figures name."""

    id: str
    title: str
    edition: str


class Chain(msgspec.Struct, frozen=True, kw_only=True):
    """A chain size in a number of strands, with every printed figure, name and relation."""

    designation: Annotated[str, Meta(description="Name of the size, one strand.")]
    strand_count: Annotated[int, Meta(description="Strands that the path names; one where it names none.")]
    name: Annotated[str, Meta(description="Size and strands.")]
    family: Family
    series: str
    standard: str
    max_strand_count: int
    provenance: Provenance
    also_listed_as: Annotated[list[str], Meta(description="The same size in another standard.")]
    aliases: list[ChainAlias]
    figures: list[ChainFigure]
    relations: list[ChainRelation]
    notes: list[AnswerWarning]
    cautions: list[AnswerCaution]
    sources: list[SourceTitle]
    versions: Versions


class ChainSummary(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A size in one line; a figure that the tables lack is left out."""

    designation: str
    family: Family
    series: str
    standard: str
    max_strand_count: int
    also_called: Annotated[list[str], Meta(description="The same size in other standards, then aliases.")]
    pitch: Quantity | UnsetType = UNSET
    roller_diameter: Quantity | UnsetType = UNSET
    inner_width: Quantity | UnsetType = UNSET
    minimum_tensile_strength: (
        Annotated[Quantity, Meta(description="Of the strands asked, else of one.")] | UnsetType
    ) = UNSET


class ChainSheets:
    """Builds what is shown of sizes from the reference data."""

    def __init__(self, context: Context) -> None:
        self._context = context
        self._notes = ChainNotes(context.reference.chains, context.reference.equivalents)

    def chain(self, found: Designation, system: System) -> Chain:
        """Everything known of a size in a number of strands."""
        size, strand_count = found
        equivalents = self._context.reference.equivalents
        figures = [figure for figure in size.figures if figure.strand_count in (None, strand_count)]
        relations = equivalents.of(size.designation)
        return Chain(
            designation=size.designation,
            strand_count=strand_count,
            name=f"{size.designation}-{strand_count}" if size.row.max_strand_count > 1 else size.designation,
            family=size.row.family,
            series=size.row.series,
            standard=size.row.standard,
            max_strand_count=size.row.max_strand_count,
            provenance=provenance(size.row),
            also_listed_as=list(equivalents.same_size(size.designation)),
            aliases=[
                ChainAlias(name=alias.alias, scheme=alias.scheme, status=alias.status, provenance=provenance(alias))
                for alias in size.aliases
            ],
            figures=_figures(size, figures, strand_count, PRESENTERS[system]),
            relations=[
                ChainRelation(
                    designation=row.designation, relation=row.relation, other=row.other, provenance=provenance(row)
                )
                for row in relations
            ],
            notes=self._notes_of(size, figures),
            cautions=lifting_cautions(self._context) if size.row.family in LIFTING_FAMILIES else [],
            sources=self._titles((size.row, *size.aliases, *figures, *relations)),
            versions=self._context.versions,
        )

    def summary(self, size: ChainSize, strand_count: int, system: System) -> ChainSummary:
        """One line on a size."""
        same = self._context.reference.equivalents.same_size(size.designation)
        presenter = PRESENTERS[system]

        def shown(quantity: str) -> Quantity | UnsetType:
            figure = size.find(quantity, strand_count)
            return UNSET if figure is None else figure_quantity(figure, presenter)

        return ChainSummary(
            designation=size.designation,
            family=size.row.family,
            series=size.row.series,
            standard=size.row.standard,
            max_strand_count=size.row.max_strand_count,
            also_called=[*same, *(alias.alias for alias in size.aliases)],
            pitch=shown("pitch"),
            roller_diameter=shown("roller_diameter"),
            inner_width=shown("inner_width"),
            minimum_tensile_strength=shown("minimum_tensile_strength"),
        )

    def _notes_of(self, size: ChainSize, figures: list[Figure]) -> list[AnswerWarning]:
        notes = [AnswerWarning(code=note.code, severity="info", message=note.message) for note in self._notes.of(size)]
        recalled = sorted({figure.quantity.replace("_", " ") for figure in figures if figure.confidence == "memory"})
        if recalled:
            message = f"Recalled, not found in print, so verify before you rely on it: {', '.join(recalled)}."
            notes.append(AnswerWarning(code="figure_from_memory", severity="caution", message=message))
        return notes

    def _titles(self, rows: tuple[Row | Figure, ...]) -> list[SourceTitle]:
        publications = self._context.reference.publications
        return [
            SourceTitle(id=publication.id, title=publication.title, edition=publication.edition)
            for publication in (publications[name] for name in dict.fromkeys(row.source_id for row in rows))
        ]


def lifting_cautions(context: Context) -> list[AnswerCaution]:
    """The cautions of every answer on a chain that can lift."""
    return [
        AnswerCaution(code=caution.code, severity=caution.severity, text=caution.text)
        for caution in context.reference.cautions.for_topic("lifting")
    ]


def provenance(row: Row | Figure) -> Provenance:
    """Where a row is printed."""
    return Provenance(source_id=row.source_id, locator=row.locator, confidence=row.confidence, note=row.note)


def _figures(size: ChainSize, figures: list[Figure], strand_count: int, presenter: Presenter) -> list[ChainFigure]:
    return [
        ChainFigure(
            quantity=figure.quantity,
            value=figure_quantity(figure, presenter),
            side=figure.side,
            strand_count=UNSET if figure.strand_count is None else figure.strand_count,
            printed_value=figure.printed_value,
            printed_unit=figure.printed_unit,
            preferred=size.find(figure.quantity, strand_count) is figure,
            table=figure.table,
            provenance=provenance(figure),
        )
        for figure in figures
    ]


def figure_quantity(figure: Figure, presenter: Presenter) -> Quantity:
    """A figure in the units of the answer."""
    kind = _KIND_OF_UNIT.get(figure.unit)
    if kind is None:
        return Quantity(presenter.number(figure.value), figure.unit)
    return presenter.quantity(figure.value, kind)
