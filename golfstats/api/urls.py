from django.urls import path

from golfstats.api import people

urlpatterns = [
    path("tokens", people.TokenList.as_view(), name="tokens"),
    path("tokens/present", people.PresentToken.as_view(), name="present-token"),
    path("clubs", people.ClubList.as_view(), name="clubs"),
    path("members", people.MemberList.as_view(), name="members"),
    path("members/<uuid:member_id>", people.MemberDetail.as_view(), name="member"),
]
