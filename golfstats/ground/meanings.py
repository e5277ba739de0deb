"""What fields mean that have one meaning in every answer. A string beneath a field says it where it means more."""

from __future__ import annotations

import re

THINGS = {
    "course": "course",
    "player": "player",
    "round": "round",
    "squad": "squad",
    "tee": "set of tees",
    "player_id": "player",
    "course_id": "course",
    "shot_id": "shot",
}
NUMBERED = {"hole": "Number of the hole.", "shot": "Number of the shot on its hole."}
SHARED = {
    "id": "Id, the same for as long as it exists.",
    "words": "The same in words, for people.",
    # A round and its shots
    "played_on": "Day of the round, by the calendar at the course.",
    "start_time": "When it began, by the clock at the course.",
    "section": "18 holes, the front nine or the back nine.",
    "format": "Form of play.",
    "competition": "Whether it is a competition.",
    "counting": "Whether it counts for the handicap.",
    "reason_for_missing_holes": "Why holes have no score.",
    "holes_played": "Number of holes with a score.",
    "version": "Grows by one with each change.",
    "weather": "What the weather was.",
    "temperature_c": "Temperature of the air, °C.",
    "wind_mph": "Speed of the wind, miles an hour.",
    "shot_wind_mph": "Speed of the wind at the shot, miles an hour.",
    "tags": "Words of one's own, to find it by.",
    "shot_tags": "Words of one's own, to find the shot by.",
    "club": "Name of the club that is hit.",
    "lie": "Where the ball lies before it.",
    "lie_quality": "How the ball lay.",
    "holed": "Whether it was holed.",
    "penalty_strokes": "Penalty strokes that followed it.",
    "penalty_kind": "How play went on after the penalty.",
    "target_distance": "Intended length, if not the hole.",
    "travel": "Measured length of the shot.",
    "offline": "Measured finish beside the line, right positive.",
    "elevation": "Height of the target above the ball.",
    "miss_side": "Side on which a miss finished; low and high are of putts.",
    "miss_depth": "Whether a miss finished short or long.",
    "short_sided": "Little green between ball and hole.",
    "swing": "A full swing or a part of one.",
    "wind": "Direction of the wind for the player.",
    "slope": "Of the putt or of the stance, along the shot.",
    "putt_break": "Break of a putt.",
    "fault": "What a missed putt failed by.",
    "picked_up": "Whether the ball was picked up before it was holed.",
    "distance_unit": "Unit of its distances.",
    "strokes_gained": "Strokes gained on the golfer compared with; above zero is better.",
    # Figures
    "window": "Which rounds count.",
    "benchmark": "The golfer compared with.",
    "provenance": "Where it is known from.",
    "expected_putts": "Putts on average.",
    "one_putt": "Chance of one putt.",
    "two_putts": "Chance of two putts.",
    "three_putts_or_more": "Chance of three putts or more.",
    "chance_better": "Chance that it is better.",
    # Handicap
    "official": "Always false: only an authorised association issues a Handicap Index.",
    "notice": "What to keep in mind with these numbers.",
    "course_rating": "Course Rating, strokes.",
    "slope_rating": "Slope Rating, 55 to 155.",
    "index_before": "Handicap Index before it; unofficial.",
    "index_after": "Handicap Index after it; unofficial.",
    "low_index": "Low Handicap Index of the year before; unofficial.",
    "adjusted_gross_score": "Strokes after net double bogey on each hole.",
    "differential": "Score Differential.",
    "adjustments": "What changed the differential afterwards.",
    "in_last_20": "Whether it is among the twenty latest scores.",
    "in_best_8": "Whether it is among those that make the index.",
    "capped": "Whether a cap held the index down.",
    "course_handicap": "Course Handicap, strokes.",
    "playing_handicap": "Playing Handicap, strokes.",
    "stroke_index_men": "Stroke index of the hole for men.",
    "stroke_index_women": "Stroke index of the hole for women.",
    "par_men": "Par of the hole for men.",
    "par_women": "Par of the hole for women.",
    "gender": "For whom the ratings hold.",
    # Greens
    "tine_diameter_mm": "Diameter of the tines, millimetres.",
    "spacing_along_mm": "From hole to hole along the machine's way, millimetres.",
    "spacing_across_mm": "From hole to hole across the machine's way, millimetres.",
    "usual_recovery_days": "Days until greens have usually healed.",
    "roll_other_way_ft": "Stimpmeter distances the other way, feet.",
    "firmness_g": "Deceleration of a falling weight, in g.",
    "moisture_pct": "Water in the soil, percent of its volume.",
    "mowing_height_mm": "Height of cut, millimetres.",
    "measured_at": "When it was measured.",
    "doubts": "Why it is doubtful.",
    # People, and when things happened
    "role": "What they are in the club, and so what they may do.",
    "under_age": "Whether they are under age, so that a guardian's consent is needed.",
    "entered_by": "The member who entered it.",
    "invited_by": "The member who invited them.",
    "created_by": "The member who made it.",
    "changed_by": "The member who changed it.",
    "written_by": "The member who wrote it.",
    "decided_by": "The member who decided it for the committee.",
    "withdrawn_by": "The member who withdrew it.",
    "set_by": "The member who set it.",
    "created_at": "When it was made.",
    "made_at": "When it was made.",
    "entered_at": "When it was entered.",
    "changed_at": "When it was changed.",
    "written_at": "When it was written.",
    "asked_at": "When it was asked for.",
    "started_at": "When it began.",
    "finished_at": "When it was done; null until then.",
    "revoked_at": "When it was taken back; null while it is good.",
    "expires_at": "When it ends by itself.",
    "decided_at": "When it was decided.",
    "withdrawn_at": "When it was withdrawn; null while it holds.",
    "set_at": "When it was set.",
    "closed_at": "When it was closed; null while it is open.",
    "consent_at": "When the guardian's consent was given; null without one.",
    "starts_on": "First day.",
    "ends_on": "Last day.",
    "happenings": "What it is told of.",
}


def shared_meaning(field: str, annotation: str) -> str:
    """By the field's name, and by its type where an id, a name or a number may stand for a thing."""
    held = set(re.findall(r"\w+", annotation)) - {"None"}
    thing = THINGS.get(field)
    if thing is not None and held <= {"UUID"}:
        return f"Id of the {thing}."
    if thing is not None and held <= {"str"}:
        return f"Name of the {thing}."
    if thing is not None and held <= {"Named"}:
        return f"The {thing}, by id and name."
    if held <= {"int"} and field in NUMBERED:
        return NUMBERED[field]
    return SHARED.get(field, "")
