"""Putting: chance of holing, where a miss finishes, what follows, and what a player's putts tell.

Two numbers describe a putter: the spread of the direction in which the ball starts (radians inside,
degrees in answers) and the spread of how far it rolls, as a fraction of the intended roll. Everything
here thinks in feet. Read in this order: ``make_model`` (holed or not), ``leave`` (where a miss
finishes), ``outcomes`` (putts to hole out), ``fit`` (published counts), ``likelihood`` and ``player``
(one's own two numbers, pooled over the club), then ``tendencies`` and ``slopes``.
"""
