"""Cost of one identification against all sizes, in seconds of the processor."""

from __future__ import annotations

from time import process_time

import pytest

from service.calculations.identification import Measured, Sample, identify
from service.calculations.identification_index import IdentificationIndex
from service.reference.catalogue import load_reference

INDEX = IdentificationIndex(load_reference())
FULL = {"pitch": 12.9, "roller_diameter": 8.4, "inner_width": 7.7, "pin_diameter": 4.4, "plate_height": 11.7}


@pytest.mark.parametrize("names", [("pitch", "roller_diameter", "inner_width"), ("roller_diameter",), tuple(FULL)])
def test_a_piece_is_identified_within_two_milliseconds(names):
    sample = Sample(values={name: Measured(FULL[name], 0.1) for name in names})

    def seconds() -> float:
        started = process_time()
        for _ in range(50):
            identify(INDEX, sample)
        return (process_time() - started) / 50

    assert min(seconds() for _ in range(5)) < 0.002
