"""The best way round: a plan for a hole and a round from a player's own shot patterns.

Golf as a stochastic shortest path (Guillot and Stauffer 2023; Computational Statistics 2025): a hole is a grid of
surfaces, a shot is a club and an aim whose finish scatters by the player's pattern, and the value of a place is the
expected number of strokes to hole out from there under best play.

Read in this order: ``hole`` (what a hole looks like), ``shots`` (what a player's shots do), ``greens`` (what putting
costs today), ``kernels``, ``solve`` and ``value`` (the best way, by value iteration), ``options`` (what one shot is
worth), ``play`` (the plan simulated), ``choices`` and ``forecast`` (answers for a hole and a round), ``split`` (the
round read afterwards), ``card`` (what is printed) and ``rules`` (what may be shown when).

What the model leaves out: where a ball bounces and rolls (a shot is judged where it comes to rest), trees
in the way of a flight, the slope of the ground off the green, and the player's nerves.
"""
