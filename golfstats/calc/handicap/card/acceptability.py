"""Whether a score counts and as how many holes (Rules 2.1, 2.2, 3.2)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from golfstats.calc.handicap.rules.settings import EDITION_2024, Edition, HandicapRules
from golfstats.calc.handicap.scores import HoleScore, Ratings, Score
from golfstats.sentences import Sentence


class Standing(StrEnum):
    NOT_ACCEPTABLE = "not_acceptable"
    NINE = "9_hole"
    WITH_EXPECTED = "18_hole_with_expected"
    WITH_NET_PAR = "18_hole_with_net_par"
    EIGHTEEN = "18_hole"


@dataclass(frozen=True)
class Judgement:
    """A standing, the rule it rests on, and what of the card then counts."""

    standing: Standing
    rule: str
    reason: str
    holes: tuple[HoleScore, ...] = ()
    ratings: Ratings | None = None

    @property
    def counts(self) -> bool:
        return self.standing is not Standing.NOT_ACCEPTABLE


def standing_of_18(
    holes_started: int,
    *,
    rated_nine_complete: bool,
    valid_reason: bool,
    edition: Edition = EDITION_2024,
) -> Standing:
    """Standing of a round set out over 18 holes, from the number of holes started.

    ``rated_nine_complete``: enough holes of a nine that has ratings of its own were started.
    """
    if holes_started == 18:
        return Standing.EIGHTEEN
    if holes_started >= edition.minimum_of_18:
        if not valid_reason:
            return Standing.NOT_ACCEPTABLE
        return Standing.WITH_EXPECTED if edition.missing_holes == "expected" else Standing.WITH_NET_PAR
    return Standing.NINE if rated_nine_complete else Standing.NOT_ACCEPTABLE


def judge(score: Score, rules: HandicapRules, *, has_index: bool) -> Judgement:
    """Judge a score by the edition in force when it was played."""
    barred = _barred(score, rules)
    if barred:
        return barred
    edition = rules.edition_for(score.played_on)
    if not score.holes:
        return _judge_total(score, has_index=has_index)
    if score.holes_in_round == 9:
        return _judge_nine(score, edition, has_index=has_index)
    return _judge_18(score, rules, edition, has_index=has_index)


def _refuse(rule: str, reason: str) -> Judgement:
    return Judgement(Standing.NOT_ACCEPTABLE, rule, reason)


def _barred(score: Score, rules: HandicapRules) -> Judgement | None:
    if score.format not in rules.authorised_formats:
        return _refuse(
            "2.1a",
            Sentence("the format {format} is not authorised for handicap purposes", format=score.format),
        )
    if score.disqualified_with_advantage:
        return _refuse("2.1b", Sentence("disqualified for a breach with a significant scoring advantage"))
    if rules.certification_required and not score.certified:
        return _refuse("2.1", Sentence("the score is not certified"))
    if score.alone and not rules.solo_rounds_count:
        return _refuse("2.1", Sentence("played alone"))
    if _inactive(score.played_on, rules):
        return _refuse("2.1", Sentence("played in the inactive season"))
    return None


def _inactive(day: date, rules: HandicapRules) -> bool:
    if rules.inactive_season is None:
        return False
    first, last = rules.inactive_season
    today = (day.month, day.day)
    if first <= last:
        return first <= today <= last
    return today >= first or today <= last


def _judge_total(score: Score, *, has_index: bool) -> Judgement:
    if score.adjusted_total is None and not has_index:
        return _refuse("3.1a", Sentence("points can only be turned into strokes for a player with an index"))
    standing = Standing.NINE if score.holes_in_round == 9 else Standing.EIGHTEEN
    return Judgement(
        standing, "2.2", Sentence("{n} holes, entered as a total", n=score.holes_in_round), (), score.ratings
    )


def _judge_nine(score: Score, edition: Edition, *, has_index: bool) -> Judgement:
    started = _started(score.holes)
    if started < edition.minimum_of_9:
        return _refuse(
            "2.2b",
            Sentence("{n} of 9 holes played, {least} are needed", n=started, least=edition.minimum_of_9),
        )
    if started < 9 and not score.valid_reason:
        return _refuse(
            "3.2a", Sentence("holes are missing without a valid reason; a penalty score may be considered")
        )
    if started < 9 and not (has_index and len(score.holes) == 9):
        return _refuse("3.2", Sentence("net par on missing holes needs an index, and the holes on the card"))
    return Judgement(
        Standing.NINE, "2.2b", Sentence("{n} of 9 holes played", n=started), score.holes, score.ratings
    )


def _judge_18(score: Score, rules: HandicapRules, edition: Edition, *, has_index: bool) -> Judgement:
    closed = sum(hole.out_of_play and not hole.started for hole in score.holes)
    played = _started(score.holes)
    started = played + (closed if rules.out_of_play_net_par and has_index else 0)
    nine = _nine_played(score, edition)
    standing = standing_of_18(
        started,
        rated_nine_complete=nine is not None,
        valid_reason=bool(score.valid_reason) or played + closed == 18,
        edition=edition,
    )
    if standing is Standing.NOT_ACCEPTABLE:
        return _refuse(*_why_not(started, edition))
    if standing is Standing.NINE and nine:
        holes, ratings = nine
        return Judgement(
            standing, "2.2b", Sentence("{n} holes played, a complete rated nine", n=started), holes, ratings
        )
    if standing is not Standing.EIGHTEEN and not has_index:
        return _refuse("3.2", Sentence("before the first index only full 9- or 18-hole scores count"))
    if standing is Standing.WITH_NET_PAR and len(score.holes) < 18:
        return _refuse("3.2", Sentence("net par needs par and stroke index of the missing holes on the card"))
    reason = Sentence("{n} of 18 holes played", n=played)
    if played < 18:
        reason = Sentence(
            "{played}; the rest is missing for a valid reason: {reason}",
            played=reason,
            reason=score.valid_reason or Sentence("out of play"),
        )
    return Judgement(standing, "2.2a", reason, score.holes, score.ratings)


def _why_not(started: int, edition: Edition) -> tuple[str, str]:
    if started >= edition.minimum_of_18:
        return "3.2a", Sentence("holes are missing without a valid reason; a penalty score may be considered")
    return (
        "2.2",
        Sentence(
            "{n} holes played: neither {least} of 18 nor a complete rated nine",
            n=started,
            least=edition.minimum_of_18,
        ),
    )


def _nine_played(score: Score, edition: Edition) -> tuple[tuple[HoleScore, ...], Ratings] | None:
    """The first nine with ratings of its own of which enough holes were started."""
    if score.nines is None:
        return None
    for first, ratings in zip((1, 10), score.nines, strict=True):
        holes = tuple(hole for hole in score.holes if first <= hole.number < first + 9)
        if len(holes) == 9 and _started(holes) >= edition.minimum_of_9:
            return holes, ratings
    return None


def _started(holes: Sequence[HoleScore]) -> int:
    return sum(hole.started for hole in holes)
