"""What each kind of problem means: the type addresses of problem details (RFC 9457) point here."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views import View

MEANINGS: dict[str, tuple[str, str]] = {
    "authentication-failed": (
        "The name, password or token is wrong, or the token has run out.",
        "Make a new token with name and password at POST /api/v1/tokens.",
    ),
    "bad-idempotency-key": (
        "The header Idempotency-Key is empty or longer than 200 characters.",
        "Send any text of 1 to 200 characters that you use for this one request and its repetitions.",
    ),
    "changed-meanwhile": (
        "Somebody changed this after you read it; nothing was overwritten.",
        "Read it again, apply your change to what it says now, and send the new ETag as If-Match.",
    ),
    "club-not-chosen": (
        "You belong to several clubs and the request does not say which it is about.",
        "Name the club in the header Club; the answer lists the choices.",
    ),
    "entered-already": (
        "That day has its playing conditions figure.",
        "Correct the figure that is there instead of adding another.",
    ),
    "during-a-round": (
        "A round that counts is being played: Rule 4.3 allows the card made before it, and facts.",
        "Read the card; the rest is there once the round is finished. Practice rounds are free of the rule.",
    ),
    "sent-already": (
        "Another hole arrived under that number.",
        "Read the round in play and send what it lacks under next_sequence.",
    ),
    "holes-missing": (
        "A number was passed over: a hole that was sent before it did not arrive.",
        "Send again from next_sequence.",
    ),
    "finished-already": ("The round is finished and posted.", "Correct the round that it became."),
    "deleted-since": ("The round that it became was deleted.", "Begin another, or post the round whole."),
    "not-provisional": (
        "The course is one of the club's own, with golf of its own.",
        "Only a provisional course is merged; remove the other once nothing was played there.",
    ),
    "has-a-sign-in": (
        "A manager erases only players without a sign-in.",
        "Ask the person to erase themselves: on the page What is kept of you, or by POST clubs/<slug>/erasure.",
    ),
    "not-a-form": (
        "The body is not a form with fields and a file (multipart/form-data, RFC 7578).",
        "Send the file as the field file of such a form.",
    ),
    "goal-is-over": (
        "The goal was met, missed or closed before, and its history is kept as it was.",
        "Set a new goal.",
    ),
    "gone": (
        "What the request is about, or made when it was sent before, was deleted since or is no longer yours to see.",
        "Forget it on this device too. To have it again, send it under a new id or a new Idempotency-Key.",
    ),
    "has-rounds": (
        "Rounds were played there, and they would lose what they refer to.",
        "Keep the course or tee; a tee that is no longer used does no harm.",
    ),
    "idempotency-key-reused": (
        "This Idempotency-Key was sent before with a different request, which has been answered.",
        "Use a new key for a new request. If it was a round: it is probably saved; look at the list of rounds.",
    ),
    "internal-error": (
        "Something failed on our side and nothing was saved.",
        "Try again; if it stays, tell whoever runs the service the time and the request id.",
    ),
    "invalid-request": (
        "One or more values cannot be right, and nothing was saved.",
        "The list errors names every fault with its JSON pointer, and in rounds with hole, shot, line and column.",
    ),
    "too-many-webhooks": (
        "A member has only so many addresses of their own that are told what happens.",
        "Remove one that you no longer need.",
    ),
    "last-manager": (
        "A club keeps at least one manager.",
        "Make somebody else a manager first.",
    ),
    "member-exists": ("That person is a member of the club already.", "Change the membership instead."),
    "method-not-allowed": (
        "This address does not know that method.",
        "The API reference lists what each address takes.",
    ),
    "no-longer-readable": (
        "Somebody in this report may no longer be read by whoever asked for it.",
        "Ask for a new report: it leaves out whom you may not read.",
    ),
    "no-such-club": (
        "None of your clubs has that name. Whether it exists elsewhere is not told.",
        "GET /api/v1/clubs lists your clubs.",
    ),
    "not-a-calendar": (
        "The file is no iCalendar file (RFC 5545) that can be read safely.",
        "Export the calendar again as .ics and send that.",
    ),
    "not-acceptable": (
        "The answer cannot be written in the form that Accept asks for.",
        "Ask for application/json.",
    ),
    "not-allowed": ("Your role in the club may not do this.", "Ask a manager of your club."),
    "not-authenticated": (
        "The request does not say who asks.",
        "Send a token as Authorization: Bearer …; make one at POST /api/v1/tokens.",
    ),
    "not-found": (
        "There is nothing here, or nothing that you may see: the two are not told apart.",
        "Check the address, and the club in the header Club.",
    ),
    "not-json": (
        "The body is not JSON.",
        "The answer says at which line and column it stops being JSON.",
    ),
    "no-document": (
        "The GraphQL request has neither a query nor the id of a stored document.",
        "Send query, or documentId where documents are stored.",
    ),
    "aliases-limit": (
        "The GraphQL document gives more fields other names than are allowed.",
        "Ask in several documents; the extensions say how many names were given and are allowed.",
    ),
    "cost-limit": (
        "The answer to the GraphQL document may become larger, or take more work, than is allowed at once.",
        "The extensions name the field that costs most. Ask for fewer rows above it, or fewer figures.",
    ),
    "depth-limit": (
        "The GraphQL document has more fields within fields than are allowed.",
        "Ask in several documents; the extensions say how deep it is and may be.",
    ),
    "invalid-document": (
        "The text is no GraphQL document, or asks for what the schema does not have.",
        "The message says what and where; the schema can be fetched at /graphql/schema.",
    ),
    "unforeseen": (
        "Something failed on our side while GraphQL answered, and nothing was saved.",
        "Try again; if it stays, tell whoever runs the service the request id.",
    ),
    "no-such-operation": (
        "The GraphQL document has no query or mutation of the name that was asked for.",
        "Check operationName against the document.",
    ),
    "not-text": ("The body or file is not text.", "Send text without NUL characters, as UTF-8."),
    "persisted-only": (
        "This service answers only GraphQL documents that are stored here.",
        "Send the documentId of a stored document.",
    ),
    "unknown-document": (
        "No GraphQL document of this id is stored here.",
        "Check the id, or send the query itself where that is allowed.",
    ),
    "not-utf-8": ("The body is not UTF-8 text.", "Save the text as UTF-8 and send it again."),
    "parse-error": ("The body cannot be read.", "Check that body and Content-Type agree."),
    "permission-denied": ("This is not allowed.", "Check that you are signed in as the right person."),
    "start-anew": (
        "What changed since then cannot be told, because the service was restored from a copy.",
        "Ask without since, and forget what you know of rounds before.",
    ),
    "busy": (
        "Too many ask for something long at the same moment: signing in, many rounds at once, a file, a name look-up.",
        "Wait for the seconds that Retry-After says.",
    ),
    "throttled": (
        "You asked more often than the service allows in a minute.",
        "Wait for the seconds that Retry-After says.",
    ),
    "too-large": (
        "The body is larger than this address takes.",
        "A round is about 15 kB; the title of the answer says the limit.",
    ),
    "club-budget": (
        "Members of your club have asked for more work than is done for one club in a minute.",
        "Wait for the seconds that Retry-After says, and ask for less at once.",
    ),
    "role-changed": (
        "The request was answered while you had another role in the club.",
        "Send it with a new Idempotency-Key if you still may do it.",
    ),
    "shown-once": (
        "The request was done before, and its answer held a secret, which is shown once.",
        "Make a new one if the first has been lost.",
    ),
    "second-factor": (
        "This sign-in asks for a second factor beside the password, and its code is missing or not the present one.",
        "Send the code that your authenticator shows, or a recovery code, in the header One-Time-Code.",
    ),
    "second-factor-set-up": (
        "A second factor is asked for at this sign-in already.",
        "Remove it on the page of your account before you set up another.",
    ),
    "token-scope": (
        "The access token was made for less than this.",
        "Make a token with the scope that is needed.",
    ),
    "version-needed": (
        "A change has to say which version it is meant for.",
        "Send the ETag that you read in If-Match, or * for whatever there is.",
    ),
    "not-made-yet": ("The plan has been asked for and is not made yet.", "Ask again in a moment."),
    "not-played-yet": (
        "No round of that day and from those tees is posted.",
        "Post the round first; the plan is compared with it then.",
    ),
    "unavailable": (
        "A part of the service is down, or busy with the same rows. Nothing was saved.",
        "Ask again after the seconds that Retry-After says.",
    ),
    "unsupported-media-type": (
        "This address does not read that Content-Type.",
        "A round is application/json, or text/plain in the compact notation.",
    ),
}
"""What happened, and what to do, by the last part of the type."""


class ProblemIndex(View):
    def get(self, request: HttpRequest) -> HttpResponse:
        kinds = [(kind, meaning) for kind, (meaning, _) in sorted(MEANINGS.items())]
        return render(request, "web/problem_kinds.html", {"kinds": kinds})


class ProblemPage(View):
    def get(self, request: HttpRequest, kind: str) -> HttpResponse:
        if kind not in MEANINGS:
            raise Http404
        meaning, advice = MEANINGS[kind]
        return render(request, "web/problem_kind.html", {"kind": kind, "meaning": meaning, "advice": advice})
