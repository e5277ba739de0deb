"""The handicap record: from a club's rows to :mod:`golfstats.calc.handicap` and back. Unofficial figures."""
