"""What scripts of the pages say, in the reader's language. A script names a sentence by its English words."""

from __future__ import annotations

from django.utils.translation import gettext, ngettext, pgettext
from django.utils.translation import gettext_noop as noop

ON_THE_PAD = (
    # the shots
    noop("Tee"),
    noop("Fairway"),
    noop("Rough"),
    noop("Sand"),
    noop("Recovery"),
    noop("Fringe"),
    noop("Green"),
    noop("Penalty area"),
    noop("No penalty"),
    noop("Stroke and distance"),
    noop("Lateral drop"),
    noop("Unplayable"),
    noop("left"),
    noop("right"),
    noop("short"),
    noop("long"),
    noop("short-sided"),
    noop("low"),
    noop("high"),
    noop("past"),
    noop("line"),
    noop("pace"),
    noop("good lie"),
    noop("poor lie"),
    noop("plugged"),
    noop("straight"),
    noop("breaks right"),
    noop("breaks left"),
    noop("ft"),
    noop("yd"),
    # the greens as found
    noop("Slow"),
    noop("Medium"),
    noop("Fast"),
    noop("Smooth"),
    noop("Nearly smooth"),
    noop("Some bumps"),
    noop("Bumpy"),
    noop("Very bumpy"),
    # a hole
    noop("Hole {number}"),
    noop("Hole {number}, {state}"),
    noop("par {par}"),
    noop("has a fault"),
    noop("begun"),
    noop("not entered"),
    noop("picked up"),
    noop("holed: {strokes}"),
    noop("This hole is done. Tap a shot to change it."),
    noop("Shot {number}: change what is wrong"),
    noop("A shot before shot {number}: from where, and how far to the hole?"),
    noop("Shot {number}: from where, and how far to the hole?"),
    noop("Shot {number}: {words}. Change it"),
    noop("Delete the last digit"),
    noop("Decimal point"),
    noop("Holed"),
    noop("Really holed from there?"),
    noop("A holed shot takes no penalty: give the shot that followed."),
    noop("Choose the lie and give the distance to the hole first."),
    noop("No putt is longer than {most}."),
    noop("No shot is farther from the hole than {most}."),
    # a hole in words
    noop("There is no shot in it yet: say from where, and how far to the hole."),
    noop("Not understood and left out: {words}"),
    noop("The browser may not use the microphone. Type the hole, or dictate with the keyboard."),
    noop("Nothing was heard. Try again, or type the hole."),
    # the score so far
    noop("No hole done yet"),
    noop("level par"),
    noop("{over} over par"),
    noop("{over} under par"),
    noop("{over_par} to par"),
    noop("Before the round about {expected} were to be expected here."),
    noop("Before the round about {expected} were to be expected here, {low} to {high} nine times in ten."),
    # keeping and sending
    noop("{tee} tees"),
    noop("no tees"),
    noop("Kept on this device until it is sent."),
    noop("Kept on this device until it has arrived."),
    noop("This browser keeps nothing: send the round before you leave the page."),
    noop("This browser keeps nothing: stay on the page until every hole has arrived."),
    noop("That was the last hole. Send the round when it is complete."),
    noop("That was the last hole. Finish the round when it is complete."),
    noop("No hole has been entered yet."),
    noop("Hole {number} is not complete. Tap again to send all the same."),
    noop("Holes {numbers} are not complete. Tap again to send all the same."),
    noop("Hole {number} is not complete. Tap again to finish all the same."),
    noop("Holes {numbers} are not complete. Tap again to finish all the same."),
    noop("Sending …"),
    noop("No connection. The round stays on this device and is sent as soon as there is one."),
    noop("No connection. The round stays on this device and is finished as soon as there is one."),
    noop("Sign in"),
    noop("You are signed out. The round is kept here and is sent when you are back."),
    noop("You are signed out. What was entered is kept here and is sent when you are back."),
    noop("Somebody changed this round since you opened it. Reload the page and correct it again."),
    noop(
        "An earlier version of this round was saved already. Look at your last rounds, and correct it there."
    ),
    noop("This round was finished or thrown away elsewhere. Reload the page."),
    noop("Nothing was saved yet:"),
    noop("Nothing was posted yet:"),
    noop("Shot {number}: {fault}"),
    noop("Hole {number} was not taken. {faults}"),
    noop("Tap again to throw this draft away."),
    noop("Thrown away. Undo brings the holes back."),
    noop("Every hole that is done has arrived."),
)
IN_THE_EXPLORER = (
    noop("The variables are not JSON: {error}"),
    noop("Cost {cost} of at most {most}"),
    noop("No answer came: is there a connection?"),
)


def script_words() -> dict[str, dict[str, object]]:
    """``one``: a sentence by its English words; ``several``: one and many of something, by the English of one.

    What stands between braces in a sentence is filled by the script.
    """
    one = {english: gettext(english) for english in (*ON_THE_PAD, *IN_THE_EXPLORER)}
    # Of a putt: what was wrong was how its line was read.
    return {"one": {**one, "read": pgettext("of a putt", "read")}, "several": _several()}


def _several() -> dict[str, object]:
    one, many = _so_many(1), _so_many(2)
    return {english: [one[english], many[english]] for english in one}


def _so_many(n: int) -> dict[str, str]:
    return {
        "{n} stroke": ngettext("{n} stroke", "{n} strokes", n),
        "{strokes} after {n} hole": ngettext("{strokes} after {n} hole", "{strokes} after {n} holes", n),
        "{n} hole is on the way.": ngettext("{n} hole is on the way.", "{n} holes are on the way.", n),
        "{n} hole waits on this device for a connection.": ngettext(
            "{n} hole waits on this device for a connection.",
            "{n} holes wait on this device for a connection.",
            n,
        ),
    }
