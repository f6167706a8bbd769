"""``GET /v1/attachments``: attachments by letter, what they carry, which family takes them, where to weld."""

from __future__ import annotations

from typing import Annotated, Any

import msgspec
from litestar import Request, get
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import AnswerCaution, Context, Versions
from service.api.chain_sheets import Provenance, provenance
from service.api.contract import Example, operation
from service.api.problems import unknown_entry
from service.api.query import read_query
from service.api.representations import Reply, Representations
from service.core.errors import NotInReference
from service.reference.attachments import (
    Carried,
    FamilyAttachmentRow,
    Form,
    LetterRow,
    LinkPattern,
    NumberMeans,
    Sides,
    Standing,
    WeldingPermission,
)
from service.reference.families import ANY

HOT_WORK = "hot_work_on_hardened_chain"
Identifier = Annotated[str, Meta(min_length=1, max_length=60)]


class AttachmentFilter(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """Which attachments are wanted."""

    family: Annotated[Identifier, Meta(description="A family of chain, such as `mill_welded`.")] | UnsetType = UNSET
    standard: Annotated[Identifier, Meta(description="A standard that lists them, such as `ISO 606`.")] | UnsetType = (
        UNSET
    )
    form: Form | UnsetType = UNSET
    carries: Carried | UnsetType = UNSET


class AttachmentNumber(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A letter with its number."""

    kind: str
    holes_in_each_lug: int | UnsetType = UNSET
    extended_pins: Annotated[int, Meta(description="Pins of the link that stand out.")] | UnsetType = UNSET
    meaning: str
    provenance: Provenance


class AttachmentUse(msgspec.Struct, frozen=True, kw_only=True):
    """Something that the attachment carries."""

    carries: Carried
    statement: str
    provenance: Provenance


class AttachmentCarrier(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A family of chain that takes the attachment."""

    family: str
    letter: str
    kinds: Annotated[list[str], Meta(description="Empty where the source names the letter without numbers.")]
    standing: Annotated[Standing, Meta(description="`listed` in the standard named, `usual` or `seldom` in the trade.")]
    standard: str | UnsetType = UNSET
    provenance: Provenance


class AttachmentWelding(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Whether, where and when attachments may be welded to a family of chain, and what must not be welded."""

    family: str
    permission: WeldingPermission
    where: str
    when: str = ""
    never: str
    provenance: Provenance


class AttachmentSheet(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """What is known of a letter of attachments."""

    letter: str
    name: str
    form: Form
    sides: Annotated[
        Sides,
        Meta(description="`one` has a left and a right hand; `across` spans the link; `as_made` follows the drawing."),
    ]
    number_means: Annotated[NumberMeans, Meta(description="What the number behind the letter counts.")]
    both_sides_letter: Annotated[str, Meta(description="Letter of the same form on both sides.")] | UnsetType = UNSET
    meaning: str
    provenance: Provenance
    kinds: list[AttachmentNumber]
    carries: list[AttachmentUse]
    families: list[AttachmentCarrier]


class AttachmentRule(msgspec.Struct, frozen=True, kw_only=True):
    """What holds of attachments on chains of every kind: letters, spacing, hands, closing of a loop."""

    statement: str
    provenance: Provenance


class AttachmentList(msgspec.Struct, frozen=True, kw_only=True):
    """Attachments in the order of their table, and the rules of welding."""

    items: list[AttachmentSheet]
    rules: Annotated[list[AttachmentRule], Meta(description="Worked out by `POST /v1/attachment-layouts`.")]
    welding: Annotated[list[AttachmentWelding], Meta(description="Of the family asked for, or of every family.")]
    not_held: Annotated[str, Meta(description="What the tables do not hold, and where it is printed.")]
    cautions: list[AnswerCaution]
    versions: Versions


class AttachmentEntry(msgspec.Struct, frozen=True, kw_only=True):
    """One letter with what the tables do not hold of it."""

    attachment: AttachmentSheet
    not_held: str
    cautions: list[AnswerCaution]
    versions: Versions


class FamilyAttachments(msgspec.Struct, frozen=True, kw_only=True):
    """Attachments of a family of chain."""

    link_pattern: Annotated[LinkPattern, Meta(description="`identical` links join at any count of pitches.")]
    carries: Annotated[list[AttachmentCarrier], Meta(description="Explained at `GET /v1/attachments/{letter}`.")]
    welding: AttachmentWelding


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""
    attachments = context.reference.attachments
    known = Representations()
    standards = sorted({row.standard for row in attachments.families if row.standard})

    @get(
        "/v1/attachments",
        **operation(
            "list_attachments",
            tag="catalogue",
            summary="Attachments by letter, and where they may be welded on",
            description=(
                "Each letter with its form, sides and numbers, what it carries, and the families of chain that take it "
                "by a standard or by usage, each with its source; by family, standard, form or what is carried. The "
                "rules of welding are those of the family, or of all. Dimensions are not held: `not_held` says where "
                "they are printed."
            ),
            examples=LIST_EXAMPLES,
            answer=AttachmentList,
            query=AttachmentFilter,
        ),
    )
    def list_attachments(request: Request[Any, Any, Any]) -> Reply:
        wanted = read_query(request, AttachmentFilter)
        families = [family.id for family in context.reference.families.families]
        if not isinstance(wanted.family, UnsetType) and wanted.family not in families:
            raise unknown_entry("family of chain", wanted.family, families, "family")
        if not isinstance(wanted.standard, UnsetType) and wanted.standard not in standards:
            raise unknown_entry("standard with attachments", wanted.standard, standards, "standard")
        return known.get(wanted, lambda: _listed(wanted, context)).reply(request)

    @get(
        "/v1/attachments/{letter:str}",
        **operation(
            "get_attachment",
            tag="catalogue",
            summary="An attachment: form, numbers, what it carries, which families take it",
            description="By its letter, or by letter and number; `A-1` and `A1` are the same.",
            examples=EXAMPLES,
            answer=AttachmentEntry,
            errors=(404,),
        ),
    )
    def get_attachment(request: Request[Any, Any, Any], letter: FromPath[str]) -> Reply:
        names = [*attachments.letters, *attachments.kinds]
        try:
            kind = attachments.get(letter)
        except NotInReference:
            raise unknown_entry("attachment", letter, names) from None
        if kind.name not in names:
            raise unknown_entry("attachment", letter, names)
        return known.get(
            kind.letter.letter,
            lambda: AttachmentEntry(
                attachment=_sheet(kind.letter, context),
                not_held=_not_held(context),
                cautions=_cautions(context),
                versions=context.versions,
            ),
        ).reply(request)

    return [list_attachments, get_attachment]


def family_attachments(family: str, context: Context) -> FamilyAttachments:
    """What a family of chain takes, and its rule of welding."""
    attachments = context.reference.attachments
    return FamilyAttachments(
        link_pattern=attachments.links[family].pattern,
        carries=[_carrier(row) for row in attachments.of_family(family)],
        welding=welding_of(family, context),
    )


def welding_of(family: str, context: Context) -> AttachmentWelding:
    """The rule of welding of a family."""
    row = context.reference.attachments.welding[family]
    return AttachmentWelding(
        family=row.family,
        permission=row.permission,
        where=row.where,
        when=row.when,
        never=row.never,
        provenance=provenance(row),
    )


def _carrier(row: FamilyAttachmentRow) -> AttachmentCarrier:
    return AttachmentCarrier(
        family=row.family,
        letter=row.letter,
        kinds=row.kinds.split(),
        standing=row.standing,
        standard=row.standard or UNSET,
        provenance=provenance(row),
    )


def _listed(wanted: AttachmentFilter, context: Context) -> AttachmentList:
    attachments = context.reference.attachments
    items = []
    for row in attachments.letters.values():
        carriers = [
            carrier
            for carrier in attachments.families
            if carrier.letter == row.letter
            and wanted.family in (UNSET, carrier.family)
            and wanted.standard in (UNSET, carrier.standard)
        ]
        narrowed = not (isinstance(wanted.family, UnsetType) and isinstance(wanted.standard, UnsetType))
        carried = {use.carries for use in attachments.uses[row.letter]}
        if (
            (carriers or not narrowed)
            and wanted.form in (UNSET, row.form)
            and (isinstance(wanted.carries, UnsetType) or wanted.carries in carried)
        ):
            items.append(_sheet(row, context))
    families = list(attachments.welding) if isinstance(wanted.family, UnsetType) else [wanted.family]
    return AttachmentList(
        items=items,
        rules=[
            AttachmentRule(statement=row.statement, provenance=provenance(row))
            for row in context.reference.families.statements(ANY, "attachments")
        ],
        welding=[welding_of(family, context) for family in families],
        not_held=_not_held(context),
        cautions=_cautions(context),
        versions=context.versions,
    )


def _sheet(row: LetterRow, context: Context) -> AttachmentSheet:
    attachments = context.reference.attachments
    return AttachmentSheet(
        letter=row.letter,
        name=row.name,
        form=row.form,
        sides=row.sides,
        number_means=row.number_means,
        both_sides_letter=row.both_sides_letter or UNSET,
        meaning=row.meaning,
        provenance=provenance(row),
        kinds=[
            AttachmentNumber(
                kind=kind.kind,
                holes_in_each_lug=UNSET if kind.holes_in_each_lug is None else kind.holes_in_each_lug,
                extended_pins=UNSET if kind.extended_pins is None else kind.extended_pins,
                meaning=kind.meaning,
                provenance=provenance(kind),
            )
            for kind in attachments.kinds.values()
            if kind.letter == row.letter
        ],
        carries=[
            AttachmentUse(carries=use.carries, statement=use.statement, provenance=provenance(use))
            for use in attachments.uses[row.letter]
        ],
        families=[_carrier(carrier) for carrier in attachments.families if carrier.letter == row.letter],
    )


def _not_held(context: Context) -> str:
    return context.reference.printed_tables["attachment_letters"].card.disagreements


def _cautions(context: Context) -> list[AnswerCaution]:
    return [
        AnswerCaution(code=caution.code, severity=caution.severity, text=caution.text)
        for caution in context.reference.cautions.named(HOT_WORK)
    ]


LIST_EXAMPLES = {
    "welded_mill_chain": Example(
        "What the welded mill chain of the invented Lindholm plant may carry, and where it may be welded",
        query={"family": "mill_welded"},
    ),
    "for_buckets": Example("Attachments that carry buckets", query={"carries": "bucket"}),
    "family_unknown": Example("A family that there is not", query={"family": "paper"}, status=422),
}
EXAMPLES = {
    "bent_lugs": Example("Bent lugs on both sides with two holes each", path={"letter": "K-2"}),
    "not_listed": Example("A letter that no source explains", path={"letter": "Q7"}, status=404),
}
