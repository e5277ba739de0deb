"""A seeded simulator of golf: invented golfers play invented courses, so that the truth is known.

Every statistical claim of the service is tested on rounds from here. Start with
:mod:`golfstats.calc.simulate.rounds` (play rounds), then :mod:`~golfstats.calc.simulate.golfer`
(what a golfer is), :mod:`~golfstats.calc.simulate.course` (what a course is) and
:mod:`~golfstats.calc.simulate.putting` (what happens on the green). The demo club is
:mod:`~golfstats.calc.simulate.season`, and :mod:`~golfstats.calc.simulate.bodies` writes its rounds as they are posted.

Nothing here is a measurement. Each module says what it assumes.
"""
