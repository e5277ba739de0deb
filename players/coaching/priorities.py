"""What a player should work on, and what it would be worth: strokes to gain, score and handicap index."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

import numpy as np
from django.utils.translation import gettext

from golfstats.calc import handicap as calc
from golfstats.calc.coaching.effects import Effect, HolesPlayed, IndexOf, effects_of_closing
from golfstats.calc.coaching.priorities import JudgedShots, Priority, band_priorities, part_priorities
from golfstats.calc.figure import percent
from golfstats.calc.figures.approach import Band
from golfstats.calc.figures.windows import last_rounds
from golfstats.calc.handicap.replay.indexes import replayed_index_or_nan
from golfstats.calc.record import Floats, Ints, Rounds
from golfstats.calc.strokes.gained import strokes_gained
from golfstats.calc.strokes.parts import whole_holes
from golfstats.ground.answers import up_to
from golfstats.ground.clock import today_at
from golfstats.ground.clubs.models import Club
from golfstats.ground.operations import Asker
from golfstats.ground.words import a_golfer, counted, signed_number, spoken
from players.coaching.greens import count_greens
from players.coaching.groups import GroupOfShots, band_numbers, bands_of, group_of
from players.coaching.history import History, Observed, histories, observed
from players.coaching.questions import USUAL_EFFECTS, USUAL_ROUNDS, USUAL_SHARE, PrioritiesQuery
from players.golf.analysed import Golf
from players.golf.answers import Chance, Figure, chance, figure
from players.golf.benchmarks import measure_of
from players.handicap.history import load_history
from players.handicap.rules import rules_of
from players.people.answers import Named
from players.people.models import Player
from players.people.remembered import Remembered

LAST_SCORES = 100
"""Only so many scores are replayed: an index rests on 20, and on the low index of a year before them."""

Rows = dict[int, int]
"""Row among the holes that are replayed, by hole number."""
PEER = "peer"
"""Key of the benchmark that is a golfer of each player's own handicap."""
REPLAYS = 300
SEED = 6


@dataclass(frozen=True)
class PriorityEffect:
    """What closing a share of the gap would do."""

    share: float
    """Of the gap, from 0 to 1."""
    fewer_strokes: Figure
    """A round."""
    index_before: float | None
    index_after: Figure
    """Handicap index (unofficial)."""


@dataclass(frozen=True)
class RankedGroup:
    """Strokes a round to gain in a part of the game or from a band of distances."""

    group: str
    """`approach`, `approach.75-100`."""
    rank: int | None
    """1 is the first to work on; groups that the rounds cannot tell apart share it. Null with too few shots."""
    words: str
    shots_a_round: float
    """Shots of the group in a round of 18 holes."""
    gap: Figure
    """Strokes lost a round against the benchmark."""
    to_gain: Figure
    """Strokes a round to be won in this part by playing it like the golfer compared with: what is believed when
    all groups are judged together, so that chance alone puts none first.
    """
    measured: Figure
    """As measured alone; the groups add up."""
    against_peer: Figure | None
    """Strokes lost a round against a golfer of their own handicap and rating gender; null where that is the benchmark,
    and with too few shots."""
    tied: bool
    """Another group has the same rank: the rounds cannot tell."""
    chance_first: Chance | None
    """That more is lost here than anywhere else."""
    sure: float | None
    """Strokes a round that are three-in-four certain: what the groups are ranked by."""
    chance: Chance | None
    """How likely it is that there is anything to gain here."""
    effect: PriorityEffect | None
    """Only for the first few."""


@dataclass(frozen=True, kw_only=True)
class Priorities:
    """What a player should work on."""

    player: Named
    benchmark: str
    """Name of the golfer whom they are compared with."""
    share: float
    """Of the gap, for the effects."""
    rounds: int
    """Rounds that it rests on."""
    first: str
    """Which part costs most and how sure that is, ties named as ties."""
    greens: str
    """What disturbed greens have to do with it, which are allowed for; empty where they have nothing."""
    parts: list[RankedGroup] = up_to(4)
    """Each part of the game."""
    bands: list[RankedGroup] = up_to(5)
    """Each band of approach distances."""


def _worked_out(asker: Asker, players: Sequence[Player], query: PrioritiesQuery) -> list[Priorities]:
    benchmark = query.target or query.benchmark
    golf = histories(asker, players, benchmark)
    return [
        priorities(
            ranked_groups(
                player,
                one,
                share=query.share,
                rounds=query.last,
                effects=query.effects,
                against_peer=against_peer(player, one, benchmark or asker.club.benchmark),
            )
        )
        for player, one in zip(players, golf, strict=True)
    ]


player_priorities = Remembered("priorities", _worked_out, Priorities)
"""Replays of the handicap index take long: with nothing asked but the player they are the worker's, who keeps them."""


@dataclass(frozen=True, eq=False)
class RankedGroups:
    """What is worth working on, worked out and not told yet: a group, its place and what closing its gap would do."""

    player: Player
    golf: History
    share: float
    rounds: int
    """Rounds that it rests on."""
    asked: int
    """Rounds that were asked for."""
    parts: list[tuple[GroupOfShots, Priority, Effect | None]]
    bands: list[tuple[GroupOfShots, Priority, Effect | None]]


def ranked_groups(
    player: Player,
    golf: History,
    *,
    share: float = USUAL_SHARE,
    rounds: int = USUAL_ROUNDS,
    effects: int = USUAL_EFFECTS,
    against_peer: Floats | None = None,
) -> RankedGroups:
    """Priorities of the one player of ``golf`` over their last rounds, against the golf's benchmark.

    ``golf`` has to hold all their rounds, as the handicap index rests on them. ``effects`` says for how many
    of the first parts, and of the first bands, the effect of closing ``share`` of the gap is worked out; the replays
    have a fixed seed, so that an answer can be had again. ``against_peer`` are the shots' strokes gained of
    :func:`against_peer`.
    """
    bands, holes = bands_of(golf), golf.analysed.record.holes
    first = _first_needed(golf.analysed.record.rounds, rounds)
    first_hole = int(np.searchsorted(holes.round, first))
    shots = judged_shots(golf, bands, rounds, against_peer).since(first, first_hole)
    parts = part_priorities(shots, np.random.default_rng(SEED))
    in_bands = band_priorities(shots, np.random.default_rng(SEED))
    worth_it = [*_worth_it(parts, effects), *_worth_it(in_bands, effects)]
    found = effects_of_closing(
        shots,
        worth_it,
        HolesPlayed(holes.score[first_hole:], holes.round[first_hole:], holes.par[first_hole:]),
        index_replay(player.id, golf, first_hole),
        [np.random.default_rng(SEED) for _ in worth_it],
        share,
        REPLAYS,
    )
    effect_of = {(one.part, one.band): effect for one, effect in zip(worth_it, found, strict=True)}
    return RankedGroups(
        player,
        golf,
        share,
        rounds=int(np.sum(shots.holes_recorded > 0)),
        asked=rounds,
        parts=[(group_of(one, bands), one, effect_of.get((one.part, one.band))) for one in parts],
        bands=[(group_of(one, bands), one, effect_of.get((one.part, one.band))) for one in in_bands],
    )


def _worth_it(priorities: list[Priority], effects: int) -> list[Priority]:
    """Of the first so many, those that there is something to gain from."""
    return [one for one in priorities[:effects] if one.sure is not None and (one.to_gain.value or 0) > 0]


def priorities(ranked: RankedGroups) -> Priorities:
    """Told in the language of now."""
    golf, player = ranked.golf, ranked.player
    golfer = spoken(golf.benchmark.name)
    return Priorities(
        player=Named(player.id, player.name),
        benchmark=golfer,
        share=ranked.share,
        rounds=ranked.rounds,
        first=_first_words([(group, one) for group, one, _ in ranked.parts if one.rank == 1]),
        greens=count_greens(_recent_putting(player.id, golf, ranked.asked)).words,
        parts=[_group(*one, golfer, ranked.share) for one in ranked.parts],
        bands=[_group(*one, golfer, ranked.share) for one in ranked.bands],
    )


def _group(
    group: GroupOfShots, priority: Priority, effect: Effect | None, golfer: str, share: float
) -> RankedGroup:
    return RankedGroup(
        group=group.key,
        rank=priority.rank,
        words=_group_words(group, priority, effect, golfer, share),
        shots_a_round=round(priority.shots_a_round, 2),
        gap=figure(priority.gap, of="shot"),
        to_gain=figure(priority.to_gain, of="shot"),
        measured=figure(priority.measured, of="shot"),
        against_peer=None if priority.against_peer is None else figure(priority.against_peer, of="shot"),
        tied=priority.tied,
        chance_first=chance(priority.chance_first),
        sure=None if priority.sure is None else round(priority.sure, 4),
        chance=chance(priority.chance),
        effect=None if effect is None else _effect(effect),
    )


def _group_words(
    group: GroupOfShots, priority: Priority, effect: Effect | None, golfer: str, share: float
) -> str:
    if effect is not None:
        return spoken(effect.words(group.words, a_golfer(golfer), share))
    if priority.to_gain.value is None:
        return gettext("{group}: too few shots").format(group=group.words)
    if priority.to_gain.value <= 0:
        return gettext("{group}: nothing to gain on {golfer}").format(
            group=group.words, golfer=a_golfer(golfer)
        )
    gain = priority.to_gain
    strokes, low, high = (signed_number(one or 0.0, 1) for one in (gain.value, gain.low, gain.high))
    return gettext("{group}: {strokes} strokes a round ({low} to {high}) behind {golfer}, {shots}").format(
        group=group.words,
        strokes=strokes,
        low=low,
        high=high,
        golfer=a_golfer(golfer),
        shots=counted(gain.n, "shot"),
    )


def _effect(effect: Effect) -> PriorityEffect:
    fewer, after = figure(effect.fewer_strokes, of="shot"), figure(effect.index_after, of="shot")
    return PriorityEffect(effect.share, fewer, effect.index_before, after)


def _first_words(first: Sequence[tuple[GroupOfShots, Priority]]) -> str:
    """Which parts are first and how sure that is."""
    if not first:
        return gettext("too few shots to say where most is lost")
    losing = [(group, one) for group, one in first if (one.to_gain.value or 0.0) > 0]
    if not losing:
        return gettext("no part of the game loses strokes against this golfer")
    names = [group.words for group, _ in losing]
    if len(names) > 1:
        words = gettext("{several} and {last} cost alike as far as these rounds tell")
        return words.format(several=", ".join(names[:-1]), last=names[-1])
    likely = spoken(percent(losing[0][1].chance_first or 0.0))
    return gettext("{group} cost most, {percent} likely").format(group=names[0], percent=likely)


def against_peer(player: Player, golf: History, benchmark: str) -> Floats | None:
    """Strokes gained of the shots of this player's golf against a golfer of their own handicap, as on undisturbed
    greens; None where that is the benchmark (of this key) anyway.
    """
    if benchmark == PEER:
        return None
    record, raw = golf.raw.record, golf.raw.strokes_gained
    owed = golf.analysed.strokes_gained - raw
    return strokes_gained(record, measure_of(PEER, [player.id], golf.loaded)) + np.nan_to_num(owed)


def _recent_putting(player: UUID, golf: History, rounds: int) -> Observed:
    return observed(golf, player, "gained.putting").select(last_rounds(golf.analysed.record.rounds, rounds))


def judged_shots(
    golf: History, bands: list[Band], rounds: int, against_peer: Floats | None = None
) -> JudgedShots:
    """The shots of the last ``rounds`` rounds with their strokes gained, part and band; others count nowhere, and
    rounds of which nobody knows what their greens cost wait.
    """
    record = golf.analysed.record
    recent = last_rounds(record.rounds, rounds) & golf.greens.known
    gained = golf.analysed.strokes_gained
    complete = whole_holes(record, gained) & recent[record.holes.round]
    return JudgedShots(
        strokes_gained=np.where(complete[record.shots.hole], gained, np.nan),
        part=golf.analysed.part,
        band=band_numbers(golf, bands),
        round=record.shots.round,
        hole=record.shots.hole,
        holes_recorded=np.bincount(record.holes.round, weights=complete, minlength=len(record.rounds)).astype(
            np.float64
        ),
        peer_gained=against_peer,
        doubt=golf.doubt,
    )


def index_replay(player: UUID, golf: Golf, first_hole: int = 0) -> IndexOf:
    """A function from strokes fewer (replays × the golf's holes from ``first_hole`` on) to the handicap index of each.

    Everything else stays as it is stored: ratings, playing conditions, the committee's decisions, the
    club's rules. ``golf`` has to hold all rounds of this player. Six queries now, and none later.
    """
    club = Club.objects.get()
    history = load_history(player, today_at(club), last=LAST_SCORES)
    rules = rules_of(club.handicap_rules)
    scores = history.scores[-LAST_SCORES:]
    rows = _rows_by_round(golf, first_hole)
    columns = {
        score.key: np.array([rows[score.key][hole.number] for hole in score.holes])
        for score in scores
        if isinstance(score, calc.Score)
    }

    def index_of(fewer: Ints) -> Floats:
        by_hole = fewer.T  # the holes of a round lie together
        by_score = {key: by_hole[mine].T for key, mine in columns.items()}
        return replayed_index_or_nan(scores, history.actions, by_score, len(fewer), rules)

    return index_of


def _first_needed(rounds: Rounds, judged: int) -> int:
    """The row of the first round among the last that count for the index, and the last ``judged``."""
    counting = np.flatnonzero(rounds.counting)[-LAST_SCORES:]
    return int(min([*counting[:1], max(len(rounds) - judged, 0)]))


def _rows_by_round(golf: Golf, first: int) -> dict[str, Rows]:
    """Of the holes from the row ``first`` on, counted from there."""
    holes, ids = golf.analysed.record.holes, list(map(str, golf.loaded.round_ids))
    rows: dict[str, Rows] = {round_id: {} for round_id in ids}
    numbers = zip(holes.round[first:].tolist(), holes.number[first:].tolist(), strict=True)
    for row, (round_row, number) in enumerate(numbers):
        rows[ids[round_row]][number] = row
    return rows
