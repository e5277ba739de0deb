"""The chapter about trials: does it go better with one ball, club or tag than with another?"""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.doors.pages.pictures import intervals
from golfstats.doors.pages.screens.chapters.base import Block, Cell, Chapter, PlayerChapter, Table
from golfstats.ground import inputs
from golfstats.ground.club_names import club_words
from players.coaching.questions import Outcome, TagKind, TrialQuery
from players.coaching.trials import Trial, names_to_compare, trials
from players.pictures import subjects


class Trials(PlayerChapter):
    """Ask whether it goes better with one thing than with another."""

    question = noop("Does it go better with one than with the other?")
    chapter_template = "trials"
    chosen_window = False

    def chapter(self) -> Chapter:
        one, other = self.request.GET.get("a", ""), self.request.GET.get("b", "")
        if one and one.casefold() == other.casefold():
            return Chapter(
                gettext("Both are {name}: choose two different ones.").format(name=club_words(one)), ()
            )
        trial = self._trial()
        if trial is None:
            return Chapter(gettext("Choose two balls, clubs or tags, and what to compare."), ())
        signed = trial.outcome is Outcome.STROKES_GAINED
        rows = [
            [Cell(club_words(trial.a)), self.cell(trial.first, signed=signed)],
            [Cell(club_words(trial.b)), self.cell(trial.second, signed=signed)],
            [Cell(gettext("Difference, all else allowed for")), self.cell(trial.difference, signed=True)],
        ]
        # What the trial cannot rule out, and how many more shots would, stands in its words, the answer at the top.
        block = Block(
            gettext("{a} and {b}").format(a=club_words(trial.a), b=club_words(trial.b)),
            (),
            intervals.drawn(subjects.trial(trial)),
            table=Table(gettext("The trial"), ("", gettext("Value, 90% interval")), rows),
            figures=("trial.difference",),
        )
        return Chapter(trial.words, [block])

    def _trial(self) -> Trial | None:
        asked = {
            name: self.request.GET[name]
            for name in ("tag", "a", "b", "outcome", "club")
            if self.request.GET.get(name)
        }
        if not asked.keys() - {"tag"}:
            return None
        (answer,) = trials(self.asker, [self.player], inputs.checked(TrialQuery, asked))
        return answer

    def extra(self) -> dict[str, object]:
        kind, names = self._kind()
        asked = self.request.GET.dict()
        return {
            "kinds": [(one.value, gettext(words), one is kind) for one, words in TAG_WORDS.items()],
            "kind": kind.value,
            "outcomes": [(one.value, gettext(words)) for one, words in OUTCOME_WORDS.items()],
            "asked": asked,
            "names": _named([*names, asked.get("a", ""), asked.get("b", "")]),
            "enough": len(names) > 1,
            "missing": gettext(NOTHING_TO_COMPARE[kind]),
            "clubs": []
            if kind is TagKind.CLUB
            else _named([*self._names(TagKind.CLUB), asked.get("club", "")]),
        }

    def _kind(self) -> tuple[TagKind, list[str]]:
        """What is compared, and its names: balls where two were noted, or else clubs."""
        chosen = self.request.GET.get("tag")
        if chosen in set(TagKind):
            return TagKind(chosen), self._names(TagKind(chosen))
        balls = self._names(TagKind.BALL)
        return (TagKind.BALL, balls) if len(balls) > 1 else (TagKind.CLUB, self._names(TagKind.CLUB))

    def _names(self, kind: TagKind) -> list[str]:
        return names_to_compare(self.player, kind)


def _named(names: Sequence[str]) -> list[tuple[str, str]]:
    """Each name once, with the words that the reader has for it."""
    return [(name, club_words(name)) for name in dict.fromkeys(names) if name]


NOTHING_TO_COMPARE = {
    TagKind.BALL: noop(
        "Fewer than two balls are noted so far. Note the ball with each round, under “Where and when”; then they "
        "stand here."
    ),
    TagKind.CLUB: noop(
        "Fewer than two clubs are noted so far. Note the club with each shot; a new one by a name of its own."
    ),
    TagKind.ROUND: noop(
        "Fewer than two tags of rounds so far. Tag rounds by what was tried, such as “lesson”; then they stand here."
    ),
    TagKind.SHOT: noop(
        "Fewer than two tags of shots so far. Write one behind a shot in the notation, such as (#draw); "
        "then they stand here."
    ),
}
TAG_WORDS = {
    TagKind.BALL: noop("balls of the round"),
    TagKind.CLUB: noop("clubs"),
    TagKind.ROUND: noop("tags of rounds"),
    TagKind.SHOT: noop("tags of shots"),
}
OUTCOME_WORDS = {
    Outcome.SIDE: noop("yards beside the line"),
    Outcome.TRAVEL: noop("yards it goes"),
    Outcome.STROKES_GAINED: noop("strokes gained"),
}
