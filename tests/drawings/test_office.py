"""The process that makes drawings: what it gives, what becomes of failures, and that it ends."""

from __future__ import annotations

import os
from functools import partial

import pytest

from service.drawings.dxf import dxf
from service.drawings.office import DrawingFailedError, DrawingOffice
from service.drawings.svg import svg
from service.drawings.wheel import wheel_sheet
from service.drawings.writing import Form
from tests.drawings.wheels import asme_view


@pytest.fixture
def office():
    made = DrawingOffice()
    yield made
    made.close()


def test_drawings_are_those_made_here(office):
    view = asme_view(17)
    make = partial(wheel_sheet, view, upright=True)
    assert office.draw(make, Form("svg")) == (view.writing.title, svg(make()))
    assert office.draw(make, Form("dxf", "in")) == (view.writing.title, dxf(make(), "in"))
    _, picture = office.draw(make, Form("png", png_width=400))
    assert picture.startswith(b"\x89PNG\r\n\x1a\n")


def test_a_sheet_that_cannot_be_made_is_told_and_the_next_one_is_made(office):
    with pytest.raises(DrawingFailedError, match="ZeroDivisionError"):
        office.draw(partial(divmod, 1, 0), Form("svg"))
    assert office.draw(partial(wheel_sheet, asme_view(9)), Form("svg"))[1].startswith(b"<svg")


def test_after_a_process_that_broke_another_one_draws(office):
    with pytest.raises(DrawingFailedError, match="ended"):
        office.draw(partial(os._exit, 3), Form("svg"))
    assert office.draw(partial(wheel_sheet, asme_view(9)), Form("svg"))[1].startswith(b"<svg")


def test_what_is_printed_while_drawing_is_no_answer(office):
    with pytest.raises(DrawingFailedError, match="AttributeError"):
        office.draw(partial(print, "not an answer"), Form("svg"))
    assert office.draw(partial(wheel_sheet, asme_view(9)), Form("svg"))[1].startswith(b"<svg")


def test_the_process_ends_with_its_input():
    office = DrawingOffice()
    office.draw(partial(wheel_sheet, asme_view(9)), Form("svg"))
    process = office._process
    assert process is not None
    assert process.stdin is not None
    process.stdin.close()
    assert process.wait(10) == 0
    office.close()
