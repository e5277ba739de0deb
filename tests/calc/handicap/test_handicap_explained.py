"""A line in words can be followed to its rules, from the card to the index."""

from decimal import Decimal
from random import Random

from golfstats.calc.handicap import (
    AdjustScores,
    FreezeIndex,
    HoleScore,
    OverrideExceptional,
    Ratings,
    Score,
    SetInitialIndex,
    build_record,
    explain,
    explain_action,
    shown,
)
from tests.calc.handicap.histories import PARS, STROKE_INDEXES, random_history
from tests.calc.handicap.weekly import FIRST_DAY, PLAIN, steady, week


def test_an_exceptional_score_reads_from_card_to_index():
    record = build_record([*steady(), Score("low", week(20), PLAIN, adjusted_total=76, pcc=1)])
    steps = [(step.rule, step.value) for step in explain(record.line("low"))]
    assert steps == [
        ("2.2", "18 hole"),
        ("6.1a", "10"),
        ("3", "76"),
        ("5.1a", "3.0"),
        ("5.1", "3.0"),
        ("5.9", "7.0"),
        ("5.9", "-1.0"),
        ("5.2b", "8.125"),
        ("5.2b", "8.1"),
        ("5.8", "8.1"),
        ("5.2", "8.1"),
        ("5.2b", "2.0"),
    ]
    assert explain(record.line("low"))[3].text == "(113 / 113) x (76 - 72.0 - 1)"


def test_reduced_holes_are_listed_and_the_others_are_not():
    holes = tuple(
        HoleScore(number, par, index, par + (6 if number == 4 else 1))
        for number, (par, index) in enumerate(zip(PARS, STROKE_INDEXES, strict=True), start=1)
    )
    initial = SetInitialIndex(FIRST_DAY, Decimal("9.0"), "transferred")
    line = build_record([Score("a", week(1), PLAIN, holes=holes)], [initial]).line("a")
    texts = [step.text for step in explain(line) if "hole 4" in step.text]
    assert texts == ["hole 4: 10 reduced to the maximum; maximum 7 (net double bogey: par + 2 + 1 received)"]
    assert not any("hole 5" in step.text for step in explain(line))


def test_caps_are_put_into_words():
    scores = steady() + [Score(f"t{n}", week(20 + n), PLAIN, adjusted_total=100) for n in range(16)]
    words = {line.key: " ".join(step.text for step in explain(line)) for line in build_record(scores).lines}
    assert "no cap up to +3.0" in words["t5"]
    assert "soft cap: +4.3 against the Low Handicap Index 8.0" in words["t12"]
    assert "hard cap: +11.0 against the Low Handicap Index 8.0, at most +5.0" in words["t15"]


def test_an_estimate_says_that_it_is_one():
    holes = tuple(
        HoleScore(number, par, index, par + 1 if number <= 12 else None)
        for number, (par, index) in enumerate(zip(PARS, STROKE_INDEXES, strict=True), start=1)
    )
    initial = SetInitialIndex(FIRST_DAY, Decimal("18.0"), "transferred")
    score = Score("a", week(1), PLAIN, holes=holes, valid_reason="darkness")
    line = build_record([score], [initial]).line("a")
    words = " ".join(step.text for step in explain(line))
    assert line.differential_parts.estimated
    assert "an estimate: the procedure is not published" in words
    assert "darkness" in words


def test_a_committee_action_gives_its_reason_and_result():
    actions = [
        AdjustScores(week(21), Decimal(-1), "form"),
        FreezeIndex(week(22), Decimal("8.5"), week(30), "review"),
    ]
    adjusted, frozen = build_record(steady(), actions).actions
    first = explain_action(adjusted)[0]
    assert (first.rule, first.value) == ("7.1a", "9.0")
    assert first.text == "Committee: -1.0 on each of the 20 recent scores (form)"
    assert "index frozen at 8.5 from 2025-06-09 until 2025-08-04" in explain_action(frozen)[0].text


def test_what_was_added_later_comes_after_the_index_of_the_day():
    record = build_record(steady(), [AdjustScores(week(21), Decimal(-1), "form")])
    steps = [(step.rule, step.value) for step in explain(record.line("s19"))]
    assert steps[-3:] == [("5.2", "10.0"), ("7.1a", "-1.0"), ("5.2b", "9.0")]


def test_easier_conditions_are_added_back():
    """Rule 5.1a: conditions -1 raise the differential; 80 on 72.0 counts as 9.0."""
    line = build_record([Score("a", week(0), PLAIN, adjusted_total=80, pcc=-1)]).line("a")
    steps = explain(line)
    assert any(step.text == "(113 / 113) x (80 - 72.0 + 1)" and step.value == "9.0" for step in steps)


def test_decisions_on_an_exceptional_score_name_its_day():
    low = Score("low", week(20), PLAIN, adjusted_total=75)
    record = build_record([*steady(), low], [OverrideExceptional(week(21), "low", "forward tees")])
    words = " ".join(step.text for step in explain_action(record.actions[0]))
    assert "reduction for the exceptional score of 2025-05-26 is 0.0 (forward tees)" in words


def test_a_nine_names_its_half_index_and_the_expected_value():
    """Case CH-09: 8.7 halved is 4.4, Course Handicap 4."""
    nine = Ratings(Decimal("35.3"), 121, 36)
    initial = SetInitialIndex(FIRST_DAY, Decimal("8.7"), "transferred")
    score = Score("a", week(1), nine, adjusted_total=44, holes_in_round=9, pcc=1)
    steps = explain(build_record([score], [initial]).line("a"))
    assert "8.7 (half of it 4.4)" in steps[1].text
    assert steps[1].value == "4"
    # 113 / 121 x (44 - 35.3 - 0.5) = 7.6579; (1.04 x 8.7 + 2.4) / 2 = 5.724.
    assert [step.value for step in steps[3:6]] == ["7.6579", "5.724", "13.4"]


def test_every_line_of_any_history_can_be_explained_and_gives_its_index():
    for number in range(60):
        scores, actions, rules = random_history(Random(number))
        record = build_record(scores, actions, rules)
        for line in record.lines:
            steps = explain(line)
            assert all(step.rule and step.text and step.value for step in steps)
            if line.calculation:
                final = [step.value for step in steps if step.rule == "5.2"]
                assert final == [shown(line.calculated_index)]


def test_plus_handicaps_are_shown_with_a_plus():
    assert [shown(Decimal(x)) for x in ("-2.1", "0.0", "3.4")] == ["+2.1", "0.0", "3.4"]
