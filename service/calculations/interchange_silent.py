"""Interchange of silent chain: what a designation promises, and what it leaves to each maker."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.interchange_sides import Known, SilentForm, known, pitch_of

if TYPE_CHECKING:
    from service.calculations.interchange_findings import Agreement, Findings
    from service.calculations.interchange_sides import ComparedChain, ComparedWheel, Guide, Profile
    from service.calculations.trace import Trace

GUIDE_OF_SERIES: dict[str, Guide] = {"side_guide": "side", "centre_guide": "centre", "two_centre_guides": "two_centre"}
"""Guide that a series fixes; chain of 3/16 in pitch is made with either guide under one designation."""

PROFILE_OF_STANDARD: dict[str, Profile] = {"ASME B29.2M": "asme_b29_2", "GOST 13552-81": "gost_13552"}
"""System of link and wheel teeth that the standard of a size fixes."""


def form_of(chain: ComparedChain, trace: Trace) -> SilentForm:
    """Width, guide and profile: the caller's, else those of the designation."""
    given, row = chain.silent, chain.size.row
    width = known(chain, "nominal_width", trace)
    return SilentForm(
        nominal_width_mm=given.nominal_width_mm or (None if width is None else width.value),
        guide=given.guide or GUIDE_OF_SERIES.get(row.series),
        profile=given.profile or PROFILE_OF_STANDARD.get(row.standard),
    )


def compare_silent(first: ComparedChain, second: ComparedChain, findings: Findings, *, same_make: bool) -> None:
    """Compare two silent chains; never by pitch and width alone."""
    forms = form_of(first, findings.trace), form_of(second, findings.trace)
    pitches = pitch_of(first, findings.trace), pitch_of(second, findings.trace)
    _compare_pitch(*pitches, findings)
    _compare_width(forms[0].nominal_width_mm, forms[1].nominal_width_mm, findings, "silent_width_differs")
    _compare_named(forms[0].profile, forms[1].profile, "profile_differs", "link_profile", findings)
    _compare_named(forms[0].guide, forms[1].guide, "guide_differs", "guide", findings)
    guides = known(first, "guide_width", findings.trace), known(second, "guide_width", findings.trace)
    findings.compare("guide_width", *guides, "wheel", same_size=True)
    if not findings.reasons:
        _promise(first, second, forms[0].profile, findings, same_make=same_make)
    if findings.missing:
        findings.ask("inverted_tooth", "joint", "links_across", "pitch_count", "wheel")


def _promise(
    first: ComparedChain, second: ComparedChain, profile: Profile | None, findings: Findings, *, same_make: bool
) -> None:
    """What agreement of pitch, width, guide and profile is worth."""
    if profile == "maker_own":
        findings.ask("inverted_tooth", "link_profile")
    elif same_make and first.size is second.size:
        findings.because("same_designation")
        if findings.joining:
            findings.because("silent_joint_not_promised")
            findings.ask("inverted_tooth", "joint")
    elif profile == "asme_b29_2":
        findings.because("silent_complete_chain")
    else:
        findings.because("other_series")


def _compare_pitch(first: Known | None, second: Known | None, findings: Findings) -> Agreement:
    agreement = findings.compare("pitch", first, second, "wheel")
    if agreement == "unknown":
        findings.ask("inverted_tooth", "pitch")
    elif agreement == "differs":
        findings.because("pitch_differs")
    return agreement


def _compare_width(first: float | None, second: float | None, findings: Findings, reason: str) -> None:
    sides = [None if width is None else Known(width) for width in (first, second)]
    agreement = findings.compare("nominal_width", sides[0], sides[1], "wheel")
    if agreement == "unknown":
        findings.ask("inverted_tooth", "nominal_width")
    elif agreement == "differs":
        findings.because(reason)


def _compare_named(first: str | None, second: str | None, reason: str, code: str, findings: Findings) -> None:
    if first is None or second is None:
        findings.ask("inverted_tooth", code)
    elif first != second:
        findings.because(reason)


def compare_silent_on_wheel(chain: ComparedChain, wheel: ComparedWheel, findings: Findings) -> None:
    """Compare a silent chain with a wheel of known size or figures."""
    form, trace = form_of(chain, findings.trace), findings.trace
    row = None if wheel.size is None else wheel.size.row
    pitch = None if wheel.size is None else wheel.size.find("pitch")
    wheel_pitch = wheel.pitch_mm if wheel.pitch_mm is not None else None if pitch is None else pitch.value
    _compare_pitch(pitch_of(chain, trace), None if wheel_pitch is None else Known(wheel_pitch), findings)
    profile = wheel.profile or (None if row is None else PROFILE_OF_STANDARD.get(row.standard))
    _compare_named(form.profile, profile, "profile_differs", "link_profile", findings)
    _compare_guide(form.guide, wheel.guide or (None if row is None else GUIDE_OF_SERIES.get(row.series)), findings)
    _compare_face(form, wheel, findings)
    if not findings.reasons and form.profile != "maker_own":
        findings.because("silent_complete_chain" if form.profile == "asme_b29_2" else "wheel_figures_fit")
    elif form.profile == "maker_own":
        findings.ask("inverted_tooth", "link_profile", "joint")


def _compare_guide(chain: Guide | None, wheel: Guide | None, findings: Findings) -> None:
    if chain is not None and chain.endswith("centre") and wheel == "none":
        findings.because("groove_missing")
    else:
        _compare_named(chain, wheel, "guide_differs", "guide", findings)


def _compare_face(form: SilentForm, wheel: ComparedWheel, findings: Findings) -> None:
    """Width of the chain against the face of the wheel, or against the width of the size it was made for."""
    if wheel.size is not None:
        width = wheel.size.find("nominal_width")
        _compare_width(form.nominal_width_mm, None if width is None else width.value, findings, "silent_width_differs")
    elif wheel.face_width_mm is None or form.nominal_width_mm is None:
        findings.ask("inverted_tooth", "nominal_width", "wheel")
    else:
        sides = Known(form.nominal_width_mm), Known(wheel.face_width_mm)
        findings.compare("nominal_width", *sides, "wheel")
        narrow = wheel.face_width_mm < form.nominal_width_mm and form.guide != "side"
        findings.judge("nominal_width", "interferes" if narrow else "fits")
        if narrow:
            findings.because("face_narrow")
