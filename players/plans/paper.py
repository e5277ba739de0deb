"""The card of a plan as files: its page of holes as SVG, both pages as one PDF for printing."""

from __future__ import annotations

import io

import vl_convert
from pypdf import PdfReader, PdfWriter
from pypdf.generic import NameObject

from golfstats.calc.plan.card import TALL, WIDE
from golfstats.ground.faults import ProblemError, Refusal
from golfstats.ground.operations import Asker, Query
from golfstats.sentences import Sentence
from players.plans.answers import card_pages
from players.plans.models import RoundPlan


def card_svg(_: Asker, plan: RoundPlan, __: Query) -> str:
    """The page of holes; refused until the plan is made."""
    return _made(plan)[0]


def card_pdf(_: Asker, plan: RoundPlan, __: Query) -> bytes:
    """Both pages in the size that Rule 4.3a/1 allows; asks the printer not to fit them to its paper."""
    writer = PdfWriter()
    for svg in _made(plan):
        page = writer.add_page(PdfReader(io.BytesIO(vl_convert.svg_to_pdf(svg))).pages[0])
        # The converter writes each of an SVG's 96 units to the inch as a point: a third too large for the rule.
        page.scale_to(WIDE, TALL)
        page.compress_content_streams()  # written as plain text by the converter
    writer.compress_identical_objects()
    writer.add_metadata({"/Title": f"{plan.tee_set.course.name}, {plan.planned_for}"})
    preferences = writer.create_viewer_preferences()
    preferences[NameObject("/PrintScaling")] = NameObject("/None")
    written = io.BytesIO()
    writer.write(written)
    return written.getvalue()


def _made(plan: RoundPlan) -> tuple[str, str]:
    if not plan.document:
        raise ProblemError("not-made-yet", Sentence("The plan is not made yet"), Refusal.CONFLICT)
    return card_pages(plan)
