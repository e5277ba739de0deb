"""Pictures of a player and of a course for programs that draw them."""

from __future__ import annotations

from courses.layout.operations import COURSE_ALONE
from golfstats.ground.operations import Gathering, Operation, Reading
from players.people.operations import PLAYER, PLAYER_ALONE
from players.pictures import answers, of_courses
from players.pictures.answers import VEGA_LITE
from players.pictures.questions import CoursePictureQuery, PictureQuery

OPERATIONS: list[Operation] = [
    Gathering(
        name="player-pictures",
        id="list_player_pictures",
        path="players/<uuid:player_id>/pictures",
        field="pictures",
        tells="",
        about=PLAYER,
        line=answers.PictureLine,
        gather=answers.pictures,
        longest=20,
        summary="The pictures that there are of a player, each with the question that it answers",
    ),
    Reading(
        name="player-picture",
        id="read_player_picture",
        path="players/<uuid:player_id>/pictures/<slug:name>",
        field="player_picture",
        cost=10000,
        about=PLAYER_ALONE,
        query=PictureQuery,
        answer=answers.Picture,
        read=answers.picture,
        written={VEGA_LITE: answers.as_vega_lite},
        for_people=True,
        summary="A picture of a player as a Vega-Lite specification, from the answer that the page draws",
        description=(
            f"With `Accept: {VEGA_LITE}` the specification is the whole answer. Its data are within it, so that it "
            "is drawn without asking anybody. Its words are in the language that `Accept-Language` asks for, where "
            "pages speak it. Handicap figures are unofficial."
        ),
    ),
    Reading(
        name="course-picture",
        id="read_course_picture",
        path="courses/<uuid:course_id>/pictures/<slug:picture>",
        field="course_picture",
        cost=1000,
        about=COURSE_ALONE,
        query=CoursePictureQuery,
        answer=of_courses.CoursePicture,
        read=of_courses.course_pictures,
        written={VEGA_LITE: of_courses.as_vega_lite},
        for_people=True,
        summary="A picture of a course as a Vega-Lite specification, from the answer that the page draws",
        description=f"With `Accept: {VEGA_LITE}` the specification is the whole answer, with its data within it. Its "
        "words are in the language that `Accept-Language` asks for.",
    ),
]
