"""The sweeps of the best way round: what a hole costs so far (``board``), shots near the hole (``near``) and longer
ones (``far``).
"""
