"""Cost of single computations in this process, each against decoding and encoding the bodies of the same call."""

from __future__ import annotations

import gc
import random
import statistics
from functools import partial
from pathlib import Path
from time import perf_counter
from typing import TYPE_CHECKING, Any, NamedTuple

import msgspec

from service.api.quantities import Inputs
from service.calculations.chain_loop import chain_loop
from service.calculations.conveyor_sizing import size_conveyor
from service.calculations.conveyor_stock import ConveyorStock
from service.calculations.designation_matching import DesignationMatcher
from service.calculations.drive_sizing import size_drive
from service.calculations.drive_tables import DriveTables
from service.calculations.identification import identify
from service.calculations.identification_index import Dimension, IdentificationIndex
from service.calculations.identification_ranking import Measured, Sample
from service.calculations.loop_input import ChainLoopInput, LoopWheelInput, SlideInput
from service.calculations.silent_tables import SilentTables
from service.core.wear_series import course
from service.drawings.dxf import dxf
from service.drawings.svg import svg
from service.reference.catalogue import Reference, load_reference
from service.reference.records import replace
from tests.benchmarks.cases import CASES, Case, recorded
from tests.benchmarks.conveyors import conveyor
from tests.core.loop_layouts import ring
from tests.core.wear_histories import clean_history

if TYPE_CHECKING:
    from collections.abc import Callable

    from service.api.batch_answers import PiecewiseResponse

ROOT = Path(__file__).parents[2]


class Cost(NamedTuple):
    """One computation, its goal in ms, and the bodies that go in and out (None where it has none)."""

    name: str
    run: Callable[[], Any]
    goal_ms: float
    bodies: tuple[bytes, bytes] | None = None
    repeats: int = 200


def median_ms(run: Callable[[], Any], repeats: int) -> float:
    times = []
    for _ in range(repeats):
        started = perf_counter()
        run()
        times.append(perf_counter() - started)
    return 1000.0 * statistics.median(times)


def _bodies(path: str, body: dict[str, Any]) -> tuple[bytes, bytes]:
    """What is sent to a path, and the service's answer."""
    return msgspec.json.encode(body), recorded(Case(path, path, 0, None, body=body))


def _measured(sample: Sample) -> dict[str, Any]:
    """The request that a sample comes from."""
    return {
        dimension: {"value": measured.value_mm, "unit": "mm", "uncertainty": measured.uncertainty_mm}
        for dimension, measured in sample.values.items()
    }


def _costs() -> list[Cost]:
    from service.api import elongation_batches, elongation_trends
    from service.api.answers import Context
    from service.api.batches import BatchText
    from service.api.drive_sizings import DriveSizingRequest, _given
    from service.api.protocol import JSON
    from service.drawings.wheel import wheel_sheet
    from tests.benchmarks.wear_batches import checks_case, trends_case
    from tests.drawings.wheels import asme_view

    reference = load_reference()
    tables = DriveTables(reference)
    silent_tables = SilentTables(reference)
    sizing = next(case for case in CASES if case.path.endswith("drive-sizings"))
    request = msgspec.convert(sizing.body, DriveSizingRequest)
    given = _given(request, Inputs(), Context.of(reference))
    rng = random.Random(17)  # noqa: S311 a simulation
    histories = [clean_history(rng, count=50).readings for _ in range(1000)]
    wheel = wheel_sheet(asme_view(120))
    loop = _loop(reference)
    take_up = SlideInput(wheel=6, direction_deg=54.0, minimum_travel_mm=-20.0, maximum_travel_mm=60.0)
    sliding = replace(loop, slide=take_up)
    stock = ConveyorStock(reference)
    matcher = DesignationMatcher(reference)
    index = IdentificationIndex(reference)
    roller = Sample(values={"roller_diameter": Measured(8.4, 0.1)})
    others: dict[Dimension, float] = {"pitch": 12.9, "inner_width": 7.7, "pin_diameter": 4.4, "plate_height": 11.7}
    piece = Sample(values={**roller.values, **{name: Measured(value, 0.1) for name, value in others.items()}})
    pitch = Sample(values={"pitch": Measured(12.9, 0.05)})
    lines = (ROOT / "tests" / "api" / "item_texts.txt").read_text(encoding="utf-8").splitlines()
    texts = [line.rsplit("|", 4)[0].strip() for line in lines if line and not line.startswith("## ")]
    thousand = (texts * (1000 // len(texts) + 1))[:1000]
    unused = [DesignationMatcher(reference) for _ in range(5)]
    listed = _bodies("/v1/designation-matches", {"items": [{"text": text} for text in thousand]})
    # As the service does once its tables are read.
    gc.collect()
    gc.freeze()

    context = Context.of(reference)

    def batch(case: Case, answer: Callable[..., PiecewiseResponse], **arguments: Any) -> tuple[Callable[[], Any], Any]:
        body = msgspec.json.encode(case.body)

        def run() -> list[bytes]:
            return answer(BatchText(body, JSON), context, **arguments).content

        return run, (body, b"".join(run()))

    checks, checks_bodies = batch(checks_case(), elongation_batches.answer_batch, as_json=True)
    short, short_bodies = batch(checks_case("verdicts"), elongation_batches.answer_batch, as_json=True)
    trends, trends_bodies = batch(trends_case(), elongation_trends.answer_batch)
    return [
        Cost("batch of 1,000 wear checks", checks, 60, checks_bodies, 10),
        Cost("the same, verdicts in short", short, 60, short_bodies, 10),
        Cost("batch of 1,000 histories of 50 readings", trends, 1500, trends_bodies, 3),
        Cost(
            "drive sizing over all tables, ten best",
            lambda: size_drive(given, tables, silent_tables),
            0.25,
            (msgspec.json.encode(sizing.body), recorded(sizing)),
            2000,
        ),
        *(
            # Goals in proportion to the runs: what grows faster than they do falls short.
            Cost(f"conveyor of {runs} runs against all families", partial(size_conveyor, conveyor(runs), stock),
                 runs / 10, repeats=60)
            for runs in (25, 50, 100)
        ),
        Cost("course of wear, 1,000 histories of 50 readings", lambda: [course(h, confidence=0.9) for h in histories],
             1500, repeats=3),
        Cost("matching 1,000 descriptions of stock items, its words met before",
             lambda: [matcher.match(text) for text in thousand], 100, listed, 9),
        Cost("the same, the first texts of all", lambda: list(map(unused.pop().match, thousand)), 100, listed,
             len(unused)),
        Cost("matching one description of 255 odd characters", lambda: matcher.match("80X" * 85), 2,
             _bodies("/v1/designation-matches", {"items": [{"text": "80X" * 85}]})),
        Cost("identifying a piece by five dimensions", lambda: identify(index, piece), 2,
             _bodies("/v1/identifications", _measured(piece))),
        Cost("identifying a piece by its roller alone", lambda: identify(index, roller), 2,
             _bodies("/v1/identifications", _measured(roller))),
        Cost("identifying a piece by its pitch alone", lambda: identify(index, pitch), 2,
             _bodies("/v1/identifications", _measured(pitch))),
        Cost("loop of 40 wheels", lambda: chain_loop(loop), 2),
        Cost("loop of 40 wheels with a take-up", lambda: chain_loop(sliding), 2),
        Cost("SVG of 120 teeth", lambda: svg(wheel), 15, repeats=20),
        Cost("DXF of 120 teeth", lambda: dxf(wheel, "mm"), 60, repeats=20),
    ]  # fmt: skip


def _loop(reference: Reference) -> ChainLoopInput:
    """Forty wheels round a circle, every second one pressed in from outside."""
    wheels = tuple(
        LoopWheelInput(
            x_mm=wheel.x_mm,
            y_mm=wheel.y_mm,
            side=wheel.side,
            teeth=wheel.teeth,
            pitch_diameter_mm=None,
            outside_diameter_mm=None,
        )
        for wheel in ring(40, 12.7, seed=3)
    )
    return ChainLoopInput(
        chain=reference.chains.get("08B"),
        wheels=wheels,
        travel=None,
        y_axis="up",
        driver_wheel=0,
        slide=None,
        pitch_count=None,
        offset_link_allowed=False,
        wrap_rule=next(row for row in reference.proportions.rows if row.rule == "wrap_min"),
    )


def cost_rows() -> list[str]:
    """The rows of the table."""
    rows = []
    for cost in _costs():
        spent = median_ms(cost.run, cost.repeats)
        verdict = "" if spent <= cost.goal_ms else " (short)"
        wire = ratio = ""
        if cost.bodies is not None:
            asked, answered = cost.bodies
            value = msgspec.json.decode(answered)
            repeats = 500 if len(answered) < 100_000 else 20
            both = median_ms(lambda a=asked, v=value: (msgspec.json.decode(a), msgspec.json.encode(v)), repeats)
            wire, ratio = f"{both:.3f} ms", f"{spent / both:.1f}"
        rows.append(f"| {cost.name} | {spent:.3f} ms{verdict} | at most {cost.goal_ms:g} ms | {wire} | {ratio} |")
    return rows
