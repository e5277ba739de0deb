"""Pure golf mathematics: plain values and numpy arrays in, values out.

Nothing here knows Django, the clock or the network; randomness comes in as a passed
``numpy.random.Generator``. Start with :mod:`golfstats.calc.record` (what a player's golf
looks like as arrays) and :mod:`golfstats.calc.figure` (what an answer looks like).
"""
