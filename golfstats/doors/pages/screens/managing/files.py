"""Rounds that come in by file: looked at first, then taken in by the worker."""

from __future__ import annotations

import json
from collections.abc import Mapping

from django import forms as django_forms
from django.http import HttpResponse
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.doors.pages.forms import Choice, Given, Words, form_of
from golfstats.doors.pages.languages import translated
from golfstats.doors.pages.screens.managing.base import ManagerForm
from golfstats.doors.pages.taking_in import content_of, imports_seen_by, take_in
from golfstats.ground.clubs.models import DistanceUnit
from players.files.answers import ImportFindings, ImportGuess, guess_of
from players.files.incoming.dialect import LOOKS, DateOrder
from players.files.models import ImportKind

BY_COLUMN = noop("A line each: our column = the file's. For every hole with {n}: score = Hole {n}")
KINDS = [(kind.value, str(kind.label)) for kind in ImportKind]
GUESS, LOOK, TAKE = "guess", "look", "take"
STEPS = (
    (GUESS, noop("Guess what its columns are")),
    (LOOK, noop("Only look at it: say what would be taken in and what is wrong")),
    (TAKE, noop("Take it in")),
)


class Imports(ManagerForm):
    title = noop("Take in a file")
    button = noop("Go on")
    done = noop("The file is being taken in")
    template = "imports"
    findings: ImportFindings | None = None
    guess: ImportGuess | None = None

    def fields(self) -> Mapping[str, django_forms.Field]:
        units = [("", gettext("the club's")), *((unit.value, gettext(unit.value)) for unit in DistanceUnit)]
        return {
            "file": django_forms.FileField(
                label=gettext("File"),
                help_text=gettext(
                    "CSV with a header, or the zip that somebody brings from another club (say below whose: "
                    "player = Name), up to 5 MB. Choose it anew for each step"
                ),
            ),
            "kind": Choice(gettext("What it holds"), translated(KINDS)),
            "columns": Words(gettext("Names of columns"), gettext(BY_COLUMN), lines=3, required=False),
            "constants": Words(
                gettext("What the file does not say"),
                gettext("A line each: course = Long Course"),
                lines=2,
                required=False,
            ),
            "dates": Choice(
                gettext("Days are written"), [(one.value, gettext(LOOKS[one])) for one in DateOrder]
            ),
            "unit": Choice(gettext("Distances in"), units, required=False),
            "step": Choice(gettext("What to do"), translated(STEPS)),
        }

    def saved(self, form: django_forms.Form) -> HttpResponse:
        """A guess fills the form; a look at the file is shown beside it; what is taken in is in the list of imports."""
        if self.guess is not None:
            filled = form.cleaned_data | _guessed(self.guess) | {"step": LOOK}
            return self._form(form_of(self.fields(), present=filled))
        return super().saved(form) if self.findings is None else self._form(form)

    def save(self, given: Given) -> None:
        uploaded, step = given.pop("file"), given.pop("step")
        if step == GUESS:
            self.guess = guess_of(content_of(uploaded))
            return
        pairs = {name: json.dumps(_pairs(given.get(name, ""))) for name in ("columns", "constants")}
        self.findings = take_in(self.asker, uploaded, **given | pairs, dry_run=step == LOOK)

    def back(self) -> str:
        return self.address("imports-page")

    def extra(self) -> dict[str, object]:
        return {"imports": imports_seen_by(self.asker), "findings": self.findings, "guess": self.guess}


def _guessed(guess: ImportGuess) -> dict[str, str]:
    """What the form shows of a guess."""
    columns = "\n".join(f"{one.ours} = {one.theirs}" for one in guess.columns)
    return {"kind": guess.kind, "columns": columns, "dates": guess.dates or DateOrder.YEAR_FIRST}


def _pairs(text: str) -> dict[str, str]:
    lines = (line.partition("=") for line in text.splitlines() if line.strip())
    return {ours.strip(): theirs.strip() for ours, _, theirs in lines}
