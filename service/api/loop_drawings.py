"""What is written on the drawing of a loop, taken from its answer, so that both say the same."""

from __future__ import annotations

from functools import partial

from msgspec import UnsetType

from service.api.drawings import Drawing, measure, notes_of
from service.api.loop_answers import ChainLoop, ChainLoopAnswer
from service.calculations.chain_loop import ChainLoopResult
from service.calculations.loop_input import ChainLoopInput
from service.drawings.layout import ENVELOPE_NOTE, LayoutView, layout_sheet


def draw_loop(given: ChainLoopInput, result: ChainLoopResult, answer: ChainLoopAnswer) -> Drawing:
    """The sheet of a loop."""
    name, count = given.chain.designation, len(result.wheels)
    return partial(
        layout_sheet,
        LayoutView(
            title=f"Chain loop {name}, {count} wheels",
            description=(
                f"Layout to scale of chain {name} round {count} wheels: pitch circles, outsides, senses of rotation, "
                "the taut chain, and in dashes what a guard has to enclose."
            ),
            wheels=result.wheels,
            loop=result.loop,
            driver=given.driver_wheel,
            half_height_mm=result.half_height_mm,
            centre_distance=None,
            facts=tuple(_facts(given, answer.result)),
            notes=(ENVELOPE_NOTE, *notes_of(answer, "as in the request")),
        ),
    )


def _facts(given: ChainLoopInput, loop: ChainLoop) -> list[tuple[str, str]]:
    facts = [
        ("Chain", f"{given.chain.designation}, pitch {measure(loop.pitch)}"),
        ("Taut length", f"{loop.length_exact_pitches:.3f} pitches"),
    ]
    if not isinstance(loop.pitch_count, UnsetType) and not isinstance(loop.chain_length, UnsetType):
        facts.append(("Chosen length", f"{loop.pitch_count} pitches, {measure(loop.chain_length)}"))
    for index, (wheel, sent) in enumerate(zip(loop.wheels, given.wheels, strict=True)):
        driver = ", driver" if index == given.driver_wheel else ""
        kind = "plain" if sent.teeth is None else f"{sent.teeth:g} teeth"
        wrap = f"wrap {wheel.wrap.value:.1f} {wheel.wrap.unit}"
        facts.append((f"Wheel {index + 1}{driver}", f"{kind}, pitch circle {measure(wheel.pitch_diameter)}, {wrap}"))
    return facts
