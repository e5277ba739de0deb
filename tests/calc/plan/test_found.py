import pytest

from golfstats.calc.plan.found import FoundGreens, FoundGreensFault, read_found
from golfstats.calc.plan.shots.clubs import club_word, clubs_in_bag, known_clubs
from golfstats.calc.plan.shots.prior import usual_bag


def test_greens_in_a_line():
    assert read_found("cored 7 days, slow, bumpy 4") == FoundGreens("coring_medium", 7, 8.0, 4)
    assert read_found("Topdressing heavy 1 day ago, speed 9.5, firm") == FoundGreens(
        "topdressing_heavy", 1, 9.5, None, "firm"
    )
    assert read_found("") == FoundGreens()
    for text in ("cored yesterday", "bumpy 6", "speed 40", "purple"):
        with pytest.raises(FoundGreensFault, match="not understood"):
            read_found(text)


def test_the_disturbance_heals_and_the_larger_of_work_and_eye_counts():
    fresh, healing, healed = (read_found(f"cored {days} days").disturbance for days in (0, 7, 200))
    assert fresh > healing > healed == 0
    assert read_found("cored 200 days, bumpy 4").disturbance == pytest.approx(0.6)
    assert read_found("cored 0 days, bumpy 2").disturbance == fresh
    greens = read_found("slow").greens(0.02, 0.1, known_disturbance=0.5)
    assert (greens.speed_ft, greens.disturbance) == (8.0, 0.5)


def test_clubs_by_their_many_names():
    names = ["7i", "7-iron", "7 Iron", "3w", "5 wood", "4h", "PW", "aw", "D", "putter", "chipper"]
    assert known_clubs(names) == {
        "7i": "7-iron", "7-iron": "7-iron", "7 Iron": "7-iron", "3w": "3-wood", "5 wood": "5-wood",
        "4h": "4-hybrid", "PW": "pitching-wedge", "aw": "gap-wedge", "D": "driver",
    }  # fmt: skip
    assert club_word("1-iron") is None


def test_a_bag_has_the_players_own_clubs_once_enough_are_known():
    own = ("driver", "7-wood", "6-hybrid", "7-iron", "9-iron", "sand-wedge")
    assert clubs_in_bag(own) == own
    assert "7-wood" in clubs_in_bag(("7-wood",))
    assert len(clubs_in_bag(("7-wood",))) == 14
    bag = usual_bag(20, "women", own)
    assert [club.name for club in bag.clubs] == list(own)
    assert bag.clubs[1].length == pytest.approx(0.81 * bag.drive)
