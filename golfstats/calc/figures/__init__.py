"""The named figures a golfer and a coach read: ``catalogue`` lists them, ``analysis`` works them all out."""
