"""The main job, end to end: ``python -m client_examples.main_job`` starts the service and asks it five questions.

The plant, its machines and its readings are invented.
"""

from __future__ import annotations

import argparse
import socket
import subprocess
import sys
import time
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from client_examples.chain_client import Answer, ChainClient, Quantity, ServiceProblem

if TYPE_CHECKING:
    from collections.abc import Iterator

PLANT = "Lindholm board mill (invented)"


def shown(quantity: Quantity, digits: int = 2) -> str:
    """A quantity for a person; only here is anything rounded."""
    return f"{quantity['value']:.{digits}f} {quantity['unit']}"


def heading(text: str) -> None:
    """A title over one question."""
    print(f"\n{text}\n{'-' * len(text)}")


def notes(answer: Answer) -> None:
    """What an engineer should know beside the figures."""
    for warning in answer["warnings"]:
        print(f"  ! {warning['code']}: {warning['message']}")
    for caution in answer["cautions"]:
        if caution["severity"] == "danger":
            print(f"  DANGER {caution['text']}")


def size_a_drive(client: ChainClient) -> dict[str, Any]:
    """A drive for a belt dryer; returns the best one."""
    heading("1  A drive to size: belt dryer, 7.5 kW, 1450 to 580 r/min, centres about 700 mm")
    answer = client.size_drive(
        {
            "duty": {
                "power": {"value": 7.5, "unit": "kW"},
                "driver_speed": {"value": 1450, "unit": "r/min"},
                "driven_speed": {"value": 580, "unit": "r/min"},
                "load_class": "moderate_shock",
                "prime_mover": "electric_motor_or_turbine",
                "hours_per_day": 16,
            },
            "centre_distance": {"value": 700, "unit": "mm"},
            "limit": 5,
        }
    )
    result = answer["result"]
    print(
        f"  {result['feasible_count']} drives carry it (ASME ratings, {result['ratings_edition']} edition); the best:"
    )
    print("  rank  chain  teeth    used   governed by            pitches  centres     lubrication     score")
    for ranked in result["drives"]:
        drive = ranked["drive"]
        teeth = f"{drive['driver_teeth']}/{drive['driven_teeth']}"
        print(
            f"  {ranked['rank']:>4}  {drive['chain']:<6} {teeth:<8} {drive['utilisation']:>4.0%}  "
            f"{drive['governed_by']:<22} {drive['pitch_count']:>7}  {shown(drive['centre_distance']):<10}  "
            f"{drive['lubrication']:<14}  {ranked['score']:.2f}"
        )
    best: dict[str, Any] = result["drives"][0]["drive"]
    print(f"  Order: {best['order_line']}.")
    print(f"  One tooth more: {best['what_if']['one_tooth_more']:.0%} used; ten per cent more load: "
          f"{best['what_if']['ten_per_cent_more_load']:.0%}.")  # fmt: skip
    notes(answer)
    return best


def lay_out_the_chain(client: ChainClient, drive: dict[str, Any]) -> None:
    """Pitches and exact centres of the chosen drive."""
    heading("2  Its chain length: what if the motor can stand at 720 to 735 mm only?")
    answer = client.chain_length(
        {
            "chain": drive["chain"],
            "driver_teeth": drive["driver_teeth"],
            "driven_teeth": drive["driven_teeth"],
            "minimum_centre_distance": {"value": 720, "unit": "mm"},
            "maximum_centre_distance": {"value": 735, "unit": "mm"},
        }
    )
    result = answer["result"]
    length, centres = shown(result["chain_length"], 1), shown(result["centre_distance"])
    print(f"  {result['pitch_count']} pitches, {length}, centres {centres}")
    notes(answer)


def draw_the_wheels(client: ChainClient, drive: dict[str, Any]) -> None:
    """Diameters of both wheels."""
    heading("3  Geometry of both wheels")
    for teeth in (drive["driver_teeth"], drive["driven_teeth"]):
        wheel = client.sprocket_geometry({"chain": drive["chain"], "teeth": teeth})["result"]
        diameters = ", ".join(
            f"{name} {shown(wheel[field])}"
            for name, field in (
                ("pitch circle", "pitch_diameter"),
                ("outside", "tip_diameter"),
                ("bottom", "root_diameter"),
                ("caliper", "caliper_diameter"),
            )
        )
        print(f"  {teeth} teeth: {diameters}; {len(wheel['contour']['pieces'])} lines and arcs a tooth gap")


def judge_a_reading(client: ChainClient) -> None:
    """A wear reading from the sorting line."""
    heading("4  A wear reading: sorting line, chain 80, 24 pitches measure 625.4 mm")
    answer = client.elongation_check(
        {
            "chain": "80",
            "length": {"value": 625.4, "unit": "mm"},
            "pitch_count": 24,
            "tension_state": "tight_span",
            "instrument": {"accuracy_class": "II", "division": {"value": 1, "unit": "mm"}},
            "large_wheel_teeth": 57,
            "centre_type": "adjustable",
            "sprocket_state": "polished_symmetric",
        }
    )
    result = answer["result"]
    print(
        f"  {result['elongation_percent']:.2f} % +/- {result['uncertainty_percent']:.2f} against a limit of "
        f"{result['limit']['percent']:g} % ({result['limit']['rule']}): {result['status']}"
    )
    print(f"  {result['headline']}\n  {result['next_step']}")
    notes(answer)


def look_up_a_chain(client: ChainClient) -> None:
    """The specification behind a designation, and what a wrong one answers."""
    heading("5  A specification to look up: 16B-2")
    chain = client.chain("16B-2")
    for figure in chain["figures"]:
        source = figure["provenance"]
        if figure["preferred"]:
            print(
                f"  {figure['quantity']:<26} {figure['side']:<8} {shown(figure['value']):<14} "
                f"{source['confidence']:<10} {source['source_id']}, {source['locator']}"
            )
    try:
        client.chain("16C")
    except ServiceProblem as problem:
        print(f"  16C is refused: {problem}")


@contextmanager
def running_service() -> Iterator[str]:
    """A service of our own on a free port of loopback, stopped at the end."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    url = f"http://127.0.0.1:{port}"
    command = [sys.executable, "-m", "service", "--host", "127.0.0.1", "--port", str(port)]
    service = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    try:
        with ChainClient(url, timeout_s=2.0) as client:
            for _ in range(600):
                if client.is_ready():
                    break
                if service.poll() is not None:
                    raise SystemExit(f"the service stopped with status {service.returncode}; run it by hand to see why")
                time.sleep(0.1)
            else:
                raise SystemExit("the service did not become ready within a minute")
        yield url
    finally:
        service.terminate()
        service.wait(30)


def ask(url: str) -> None:
    """All five questions."""
    print(f"{PLANT}: five questions to {url}")
    with ChainClient(url) as client:
        best = size_a_drive(client)
        lay_out_the_chain(client, best)
        draw_the_wheels(client, best)
        judge_a_reading(client)
        look_up_a_chain(client)


def main() -> None:
    """Ask a service that runs already, or one that is started here."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--url", help="base address of a running service; without it one is started on loopback")
    url = parser.parse_args().url
    if url:
        ask(url)
    else:
        with running_service() as started:
            ask(started)


if __name__ == "__main__":
    main()
