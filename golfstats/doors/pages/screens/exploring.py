"""Asking GraphQL by hand. The page's script asks the endpoint as any program would."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse

from golfstats.doors.pages.base import ClubPage

FIRST_QUESTION = """{
  squads {
    edges { node {
      name
      players { edges { node {
        name
        trends { trends { name now { words } } }
      } } }
    } }
  }
}
"""


class Explorer(ClubPage):
    def get(self, request: HttpRequest) -> HttpResponse:
        return self.page("explorer", {"question": FIRST_QUESTION})
