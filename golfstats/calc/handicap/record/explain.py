"""A line of the record in words: from the card to the index, step by step, with rule numbers."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from golfstats.calc.handicap.card.acceptability import Standing
from golfstats.calc.handicap.index.calculation import Calculation
from golfstats.calc.handicap.record.lines import ActionLine, ScoreLine
from golfstats.calc.handicap.rounding import round_places, round_tenth, shown, signed
from golfstats.sentences import Sentence

UNOFFICIAL = (
    "Computed by this service from the published Rules of Handicapping; only the figure issued by the "
    "national association is official."
)


@dataclass(frozen=True)
class Step:
    """One step of a calculation: the rule, what was done, and what came out."""

    rule: str
    text: str
    value: str


_STANDINGS = {
    Standing.NOT_ACCEPTABLE: Sentence("not acceptable"),
    Standing.NINE: Sentence("9 hole"),
    Standing.WITH_EXPECTED: Sentence("18 hole with expected"),
    Standing.WITH_NET_PAR: Sentence("18 hole with net par"),
    Standing.EIGHTEEN: Sentence("18 hole"),
}


def explain(line: ScoreLine) -> tuple[Step, ...]:
    """Every step behind one score's line, in the order of computation."""
    steps = [Step(line.rule, line.reason, _standing(line))]
    if line.gross is not None:
        steps += _gross_steps(line)
    steps += _differential_steps(line)
    steps += _exceptional_steps(line)
    if line.calculation is not None:
        steps += _index_steps(line, line.calculation)
    elif line.state in {"counts", "penalty"} and line.calculated_index is None:
        steps.append(Step("4.5", Sentence("too few holes on the record for an index"), Sentence("none")))
    if line.frozen:
        steps.append(Step("7.1a", Sentence("the index is frozen by the Committee"), _index(line.index_after)))
    return (*steps, *_later_steps(line))


def explain_action(line: ActionLine) -> tuple[Step, ...]:
    steps = [
        Step(
            line.rule,
            Sentence("Committee: {text} ({reason})", text=line.text, reason=line.reason),
            _index(line.index_after),
        )
    ]
    if line.calculation is not None:
        steps += _average_steps(line.calculation) + _cap_steps(line.calculation)
    return tuple(steps)


def _standing(line: ScoreLine) -> str:
    if line.state == "held":
        return Sentence("held until another nine or an index is there")
    if line.state == "paired":
        return Sentence("added to a later nine")
    if line.state == "penalty":
        return Sentence("penalty score")
    return _STANDINGS[line.standing or Standing.NOT_ACCEPTABLE]


def _gross_steps(line: ScoreLine) -> list[Step]:
    gross = line.gross
    if gross is None:
        return []
    ratings = gross.ratings
    steps = []
    if gross.course_handicap is not None:
        nine = gross.holes_in_round == 9
        index = _halved(line.index_in_force) if nine else _index(line.index_in_force)
        text = Sentence(
            "Course Handicap from the index in force, {index}, Course Rating {rating}, Slope Rating {slope}, par {par}",
            index=index,
            rating=str(ratings.course_rating),
            slope=ratings.slope_rating,
            par=ratings.par,
        )
        steps.append(Step("6.1b" if nine else "6.1a", text, shown(gross.course_handicap)))
    for hole in gross.holes:
        if hole.note:
            text = Sentence(
                "hole {hole}: {note}; maximum {maximum} ({why})",
                hole=hole.number,
                note=hole.note,
                maximum=hole.maximum,
                why=hole.maximum_why,
            )
            value = Sentence("no number") if hole.adjusted is None else str(hole.adjusted)
            steps.append(Step(hole.maximum_rule, text, value))
    entered = Sentence("sum of the adjusted hole scores") if gross.entered_as == "holes" else gross.entered_as
    steps.append(
        Step(
            "3",
            Sentence("adjusted gross score over {n} holes: {entered}", n=gross.holes_played, entered=entered),
            str(gross.score),
        )
    )
    return steps


def _differential_steps(line: ScoreLine) -> list[Step]:
    if line.state == "penalty":
        text = Sentence("Score Differential equal to one on the record, set by the Committee")
        return [Step("7.1b", text, str(line.differential))]
    parts, gross = line.differential_parts, line.gross
    if parts is None or gross is None:
        return []
    steps = []
    if parts.expected is None:
        over = f"{gross.score} - {gross.ratings.course_rating}{_minus(line.pcc)}"
        formula = f"(113 / {gross.ratings.slope_rating}) x ({over})"
        steps.append(Step(parts.rule, formula, _four(parts.exact)))
    else:
        text = Sentence("differential of the holes played, not rounded")
        if line.pcc and gross.holes_in_round == 9:
            text = Sentence(
                "{differential}, after half of playing conditions {pcc}",
                differential=text,
                pcc=signed(line.pcc),
            )
        elif line.pcc:
            text = Sentence(
                "{differential}, after the holes' share of playing conditions {pcc}",
                differential=text,
                pcc=signed(line.pcc),
            )
        steps.append(Step(parts.rule, text, _four(parts.played)))
        steps.append(
            Step(
                parts.rule,
                Sentence("for {n} further holes: {how}", n=parts.expected_holes, how=parts.how),
                _four(parts.expected),
            )
        )
    steps.append(
        Step("5.1", Sentence("Score Differential, rounded to a tenth, .5 upward"), str(line.differential))
    )
    return steps


def _exceptional_steps(line: ScoreLine) -> list[Step]:
    if not line.exceptional or line.index_in_force is None or line.differential_parts is None:
        return []
    gap = Fraction(line.index_in_force) - line.differential_parts.exact
    text = Sentence(
        "better than the index in force, {index}, by this much: an exceptional score",
        index=_index(line.index_in_force),
    )
    steps = [
        Step("5.9", text, _four(gap)),
        Step(
            "5.9", Sentence("added to every recent differential, this one included"), signed(line.exceptional)
        ),
    ]
    if line.needs_review:
        steps.append(
            Step("5.9", Sentence("the Committee should review this reduction"), signed(line.exceptional))
        )
    return steps


def _later_steps(line: ScoreLine) -> list[Step]:
    """What was added to this differential after its own calculation."""
    own = [a for a in line.adjustments if a.source_key == line.key and a.amount == line.exceptional]
    later = [a for a in line.adjustments if a not in own]
    steps = [
        Step(
            a.rule,
            Sentence("later, on {day}, added to this differential: {cause}", day=a.on, cause=a.cause),
            signed(a.amount),
        )
        for a in later
    ]
    if line.adjustments:
        text = Sentence("Score Differential with all that was added until today")
        steps.append(Step("5.2b", text, str(line.adjusted_differential)))
    return steps


def _index_steps(line: ScoreLine, calculation: Calculation) -> list[Step]:
    steps = _average_steps(calculation)
    if line.cap_set_aside:
        steps.append(
            Step("5.8", Sentence("soft and hard cap set aside by the Committee"), str(calculation.index))
        )
    steps += _cap_steps(calculation)
    before = _index(line.index_before)
    steps.append(
        Step(
            "5.2",
            Sentence("Handicap Index, {before} before this score", before=before),
            _index(line.calculated_index),
        )
    )
    return steps


def _average_steps(calculation: Calculation) -> list[Step]:
    count = len(calculation.counted)
    text = Sentence(
        "average of the lowest {n} of {of} recent differentials", n=count, of=calculation.on_record
    )
    rule = "5.2b" if calculation.on_record == 20 else "5.2a"
    steps = [Step(rule, text, _four(calculation.mean))]
    if calculation.table_adjustment:
        text = Sentence("adjustment for {n} differentials", n=calculation.on_record)
        steps.append(Step("5.2a", text, signed(calculation.table_adjustment)))
    steps.append(Step(rule, Sentence("rounded to a tenth"), str(calculation.average)))
    return steps


def _cap_steps(calculation: Calculation) -> list[Step]:
    steps = []
    low, average = calculation.low_index, calculation.average
    if low is not None and not calculation.soft_cap:
        text = Sentence(
            "{gap} against the Low Handicap Index {low}: no cap up to +3.0",
            gap=signed(average - low),
            low=shown(low),
        )
        steps.append(Step("5.8", text, str(average)))
    if low is not None and calculation.hard_cap:
        text = Sentence(
            "hard cap: {gap} against the Low Handicap Index {low}, at most +5.0",
            gap=signed(average - low),
            low=shown(low),
        )
        steps.append(Step("5.8", text, str(low + 5)))
    elif low is not None and calculation.soft_cap:
        text = Sentence(
            "soft cap: {gap} against the Low Handicap Index {low}, the part above +3.0 is halved",
            gap=signed(average - low),
            low=shown(low),
        )
        steps.append(Step("5.8", text, str(calculation.index)))
    if calculation.limited:
        steps.append(Step("5.3", Sentence("limited to the maximum index"), str(calculation.index)))
    return steps


def _minus(pcc: int) -> str:
    if pcc == 0:
        return ""
    return f" - {pcc}" if pcc > 0 else f" + {-pcc}"


def _halved(index: Decimal | None) -> str:
    if index is None:
        return _index(index)
    half = _index(round_tenth(Fraction(index) / 2))
    return Sentence("{index} (half of it {half})", index=_index(index), half=half)


def _index(value: Decimal | None) -> str:
    return Sentence("none") if value is None else shown(value)


def _four(value: Fraction) -> str:
    """An exact number for reading: at most four decimals."""
    text = str(round_places(value, 4)).rstrip("0")
    return f"{text}0" if text.endswith(".") else text
