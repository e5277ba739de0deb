"""The card as it comes out of a printer, measured in the PDF itself."""

import datetime as dt
import io

import numpy as np
import pytest
from pypdf import PageObject, PdfReader

from golfstats.calc.plan.card import CardGreen, CardRow, greens_page, plan_page
from golfstats.ground.clubs.models import Role
from golfstats.ground.faults import ProblemError
from golfstats.ground.operations import Asker, Query
from golfstats.ground.walls.scope import club_scope
from players.plans import services
from players.plans.models import RoundPlan
from players.plans.paper import card_pdf, card_svg
from tests import factories
from tests.players.conftest import client_of

INCH = 72.0
GREEN_FILL = (0.89, 0.941, 0.863)


def oval(wide: float, deep: float) -> np.ndarray:
    turn = np.linspace(0.0, 2 * np.pi, 40, endpoint=False)
    return np.column_stack([wide / 2 * np.sin(turn), deep / 2 * np.cos(turn)])


@pytest.fixture
def asker(club):
    return Asker(factories.make_member(Role.COACH))


def plan_of(asker, greens: int, yards: tuple[float, float] = (26.0, 34.0)) -> RoundPlan:
    """A plan that is made, as far as paper is concerned."""
    tees = factories.make_tee_set(factories.make_course("Sallow Head"))
    plan = services.ask_for_plan(asker.member, factories.make_player("Somebody"), tees, dt.date(2026, 6, 14))
    rows = [
        CardRow(n, 4, 380, "3-wood", "the left edge of the right bunker", 4.4, "right (sand): +0.3")
        for n in range(1, greens + 1)
    ]
    drawn = [CardGreen(n, oval(*yards), (0.0, -0.02)) for n in range(1, greens + 1)]
    plan.document = {
        "card": plan_page("Sallow Head", rows, ["Expect about 88."]),
        "card_of_greens": greens_page(drawn),
    }
    return plan


def drawn_greens(page: PageObject) -> list[np.ndarray]:
    """Width and height of every shape filled like a green, in inches of the printed page."""
    fill: tuple[float, ...] = ()
    points: list[tuple[float, float]] = []
    found = []

    def read(op, args, cm, tm):
        nonlocal fill
        if op in {b"sc", b"scn", b"rg"}:
            fill = tuple(round(float(one), 3) for one in args)
        elif op in {b"m", b"l"}:
            x, y = float(args[0]), float(args[1])
            points.append((cm[0] * x + cm[2] * y + cm[4], cm[1] * x + cm[3] * y + cm[5]))
        elif op in {b"f", b"f*", b"B", b"S", b"n"}:
            if op != b"S" and fill == GREEN_FILL:
                found.append(np.ptp(np.array(points), axis=0) / INCH)
            points.clear()

    page.extract_text(visitor_operand_before=read)
    return found


@pytest.mark.parametrize(("greens", "yards"), [(1, (12.0, 14.0)), (9, (26.0, 34.0)), (18, (40.0, 45.0))])
def test_a_page_of_the_pdf_and_its_greens_keep_to_the_rule(asker, greens, yards):
    """Rule 4.3a/1: a page no larger than 4¼ × 7 inches, greens no larger than 3/8 inch to 5 yards."""
    pages = PdfReader(io.BytesIO(card_pdf(asker, plan_of(asker, greens, yards), Query()))).pages
    assert len(pages) == 2
    for page in pages:
        assert float(page.mediabox.width) / INCH == pytest.approx(4.25, abs=1e-4)
        assert float(page.mediabox.height) / INCH == pytest.approx(7.0, abs=1e-4)
    sizes = drawn_greens(pages[1])
    assert len(sizes) == greens
    inches_a_yard = np.array(sizes) / yards
    # The points of the drawing are rounded to a tenth.
    assert inches_a_yard.max() <= 0.375 / 5 * 1.005
    # One scale for all, and the same both ways.
    assert inches_a_yard == pytest.approx(inches_a_yard[0, 0], rel=0.01)
    if greens == 1:  # a single small green would fit the page at twice the scale that the rule allows
        assert inches_a_yard.max() == pytest.approx(0.375 / 5, rel=0.005)


def test_the_pdf_can_be_read_and_is_not_fitted_to_the_paper(asker):
    reader = PdfReader(io.BytesIO(card_pdf(asker, plan_of(asker, 9), Query())))
    text = reader.pages[0].extract_text()
    assert "3-wood: the left edge of the right bunker" in text
    assert "not right (sand): +0.3" in text
    assert "Lightning and heat stop play" in text
    assert reader.viewer_preferences is not None
    assert reader.viewer_preferences.print_scaling == "/None"


def test_no_card_before_the_plan_is_made(asker):
    plan = plan_of(asker, 9)
    plan.document = None
    for write in (card_pdf, card_svg):
        with pytest.raises(ProblemError, match="not made yet"):
            write(asker, plan, Query())


def test_the_card_is_given_in_the_form_that_is_asked_for(place):
    with club_scope(place.club.id):
        plan = plan_of(Asker(place.coach), 9)
        plan.player = place.player
        plan.save()
    client = client_of(place.coach)
    for media_type, begins in (("application/pdf", b"%PDF-"), ("image/svg+xml", b"<svg"), ("*/*", b"{")):
        response = client.get(f"/api/v1/plans/{plan.id}/card", headers={"Accept": media_type})
        assert response.status_code == 200
        assert response.content.startswith(begins)
        if begins != b"{":
            assert response.headers["Content-Type"].partition(";")[0] == media_type
