"""What a hole looks like: ``drawing`` (surfaces as polygons in yards), ``words`` and ``generic`` (a drawing from a
scorecard and a few words), ``shape`` (the grid that everything is computed on), ``places`` (a spot in a golfer's words)
and ``stroke_index`` (the order in which holes give strokes).
"""
