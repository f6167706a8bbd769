"""What a caller should know of a layout of attachments though it can be made."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from service.calculations.attachment_layout import AttachmentLayoutInput, AttachmentLayoutResult, SetLayout
    from service.calculations.trace import Trace


def warn_of_layout(given: AttachmentLayoutInput, result: AttachmentLayoutResult, trace: Trace) -> None:
    """Note every doubt about a layout."""
    for layout in result.sets:
        _warn_of_kind(layout, result, trace)
    _warn_of_joint(result, trace)
    if given.strand_count > 1:
        _warn_of_strands(given, result, trace)
    _warn_of_wheel(given, result, trace)
    if given.elongation_percent is not None and given.elongation_percent > 0 and result.links.alternating:
        trace.warn(
            "worn_spacing_is_a_mean",
            "Wear lengthens the pitch over the pins of outer links only, so that single spaces of an odd number of "
            "pitches differ by the wear of one pitch; the worn spacing here is the mean.",
            severity="info",
            field="elongation_percent",
        )


def _warn_of_kind(layout: SetLayout, result: AttachmentLayoutResult, trace: Trace) -> None:
    asked, family = layout.asked, result.links.family
    field = f"attachments.{asked.place}.kind"
    name = asked.kind.name
    if asked.kind.letter.form == "special":
        return
    if family is None:
        trace.warn(
            "family_not_said",
            f"Whether {name} is made for this chain cannot be told: own figures name no family of chain.",
            severity="info",
            field="family",
        )
    elif not asked.rows:
        trace.warn(
            "attachment_not_listed",
            f"No source here lists {name} for {family.replace('_', ' ')} chain; GET /v1/families/{family} says which "
            "it may carry. Ask the maker for a drawing, or send SPECIAL.",
            field=field,
        )
    elif all(row.standing == "seldom" for row in asked.rows):
        trace.warn(
            "attachment_seldom",
            f"{name} is seldom made for {family.replace('_', ' ')} chain: ask for it before it is drawn.",
            severity="info",
            field=field,
        )
    if asked.kind.number is None and name != asked.kind.letter.letter:
        trace.warn(
            "attachment_number_not_listed",
            f"What the number in {name} means is not known here; send the drawing with the order.",
            severity="info",
            field=field,
        )


def _warn_of_joint(result: AttachmentLayoutResult, trace: Trace) -> None:
    links = result.links
    if not links.endless:
        return
    near = " or ".join(str(count) for count in result.nearest_closing if count != links.pitch_count)
    for layout in result.sets:
        space, asked = layout.space_at_joint, layout.asked
        if layout.closes or space is None:
            continue
        if space == asked.every:
            said = f"left and right of {asked.kind.name} do not alternate over the joint"
        else:
            said = f"{asked.kind.name} every {asked.every} pitches has one space of {space} pitches at the joint"
        trace.warn(
            "pattern_does_not_close",
            f"On a chain of {links.pitch_count} pitches {said}; {near} pitches close evenly.",
            field=f"attachments.{asked.place}.every",
        )
    if not result.joins_without_offset_link:
        carrying = [layout.asked.kind.name for layout in result.sets if layout.asked.links[-1] == links.pitch_count]
        on_it = f" {carrying[0]} would come on it, and an offset link takes no attachment." if carrying else ""
        trace.warn(
            "odd_pitch_count",
            f"{links.pitch_count} pitches are odd: the chain needs an offset link, weaker than the rest.{on_it} "
            f"{near} pitches need none.",
            field="pitch_count",
        )
    for strand in result.strands:
        if strand.joint_carries:
            trace.warn(
                "connecting_link_carries_attachment",
                f"Every {links.outer_name} of strand {strand.strand} carries an attachment: order connecting links "
                "with the same attachment.",
                severity="info",
            )


def _warn_of_strands(given: AttachmentLayoutInput, result: AttachmentLayoutResult, trace: Trace) -> None:
    one_sided = [layout.asked for layout in result.sets if layout.asked.kind.letter.sides == "one"]
    if given.pairing is None and any(len(asked.strands) > 1 for asked in one_sided):
        trace.warn(
            "hands_of_strands",
            f"{one_sided[0].kind.name} has the same hand on every strand here; where a slat lies between two strands "
            "they are a mirrored pair: send strand_pairing mirrored.",
            field="strand_pairing",
        )
    if not result.in_step:
        trace.warn(
            "strands_out_of_step",
            "The strands have attachments on different links, so that what lies across them would be askew.",
            field="attachments",
        )
    may_differ = ""
    if result.new_length is not None:
        may_differ = (
            f" Lengths bought apart may differ by {result.new_length.longest_mm - result.length_mm:.4g} mm over "
            f"{result.links.pitch_count} pitches."
        )
    trace.warn(
        "order_as_matched_set",
        f"Order the {given.strand_count} strands as one matched set, and renew them together.{may_differ}",
        severity="info",
        field="strand_count",
    )


def _warn_of_wheel(given: AttachmentLayoutInput, result: AttachmentLayoutResult, trace: Trace) -> None:
    unknown = []
    for layout in result.sets:
        if layout.rim_clearance_mm is None:
            unknown.append(layout.asked.kind.name)
        elif layout.rim_clearance_mm < 0:
            trace.warn(
                "attachment_strikes_wheel",
                f"The underside of {layout.asked.kind.name} comes {-layout.rim_clearance_mm:.4g} mm below the rim of "
                f"the wheel of {given.wheel.teeth if given.wheel else 0} teeth.",
                severity="danger",
                field=f"attachments.{layout.asked.place}.underside_height",
            )
    if unknown:
        trace.warn(
            "wheel_under_attachments_not_checked",
            f"Whether {', '.join(dict.fromkeys(unknown))} clears the rim, flange and hub of the wheels was not "
            "checked: no dimensions of attachments are held here. Send wheel and underside_height from the drawing.",
            severity="info",
            field="wheel",
        )
