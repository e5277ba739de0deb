"""Putting: chance of holing, where a miss finishes, what follows, and what a player's putts tell.

Start with :mod:`golfstats.calc.putting.make_model`. Two numbers describe a putter: the spread of
the direction in which the ball starts (radians inside, degrees in answers) and the spread of how
far it rolls, as a fraction of the intended roll. Everything here thinks in feet.
"""
