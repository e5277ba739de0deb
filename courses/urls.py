from django.urls import include, path

from courses.api import calendars, days, greens, layout

of_a_course = [
    path("calendar-feeds", calendars.FeedList.as_view(), name="calendar-feeds"),
    path("calendar-feeds/<uuid:feed_id>", calendars.FeedDetail.as_view(), name="calendar-feed"),
    path("condition", greens.CourseCondition.as_view(), name="course-condition"),
    path("events", days.EventList.as_view(), name="events"),
    path("events/<uuid:row_id>", days.EventDetail.as_view(), name="event"),
    path("green-readings", greens.GreenReadingList.as_view(), name="green-readings"),
    path("green-readings/<uuid:reading_id>", greens.GreenReadingDetail.as_view(), name="green-reading"),
    path("green-work", greens.GreenWorkList.as_view(), name="green-work-list"),
    path("green-work/import", calendars.GreenWorkImport.as_view(), name="green-work-import"),
    path("green-work/<uuid:work_id>", greens.GreenWorkDetail.as_view(), name="green-work"),
    path("green-work/<uuid:work_id>/history", greens.GreenWorkHistory.as_view(), name="green-work-history"),
    path("notes", greens.CourseNotes.as_view(), name="course-notes"),
    path("playing-conditions", days.PlayingConditionsList.as_view(), name="playing-conditions"),
    path(
        "playing-conditions/<uuid:row_id>",
        days.PlayingConditionsDetail.as_view(),
        name="playing-conditions-day",
    ),
    path("tees", layout.TeeList.as_view(), name="tees"),
    path("tees/<uuid:tee_id>", layout.TeeDetail.as_view(), name="tee"),
    path("tees/<uuid:tee_id>/holes", layout.TeeHoles.as_view(), name="tee-holes"),
    path("tees/<uuid:tee_id>/ratings", layout.TeeRatings.as_view(), name="tee-ratings"),
]

urlpatterns = [
    path("courses", layout.CourseList.as_view(), name="courses"),
    path("courses/<uuid:course_id>", layout.CourseDetail.as_view(), name="course"),
    path("courses/<uuid:course_id>/", include(of_a_course)),
    path("green-work-types", greens.WorkTypeList.as_view(), name="green-work-types"),
]
