"""The grammar of the compact notation, for the API reference."""

NOTATION_GRAMMAR = """\
The compact notation is header lines, then one line a hole. Empty lines and lines that begin with # say nothing.

```
round   = { header } , { hole }
header  = name ":" value         name: player course tee date time section unit format counting competition
                                 missing ball weather temperature wind tags note
                                 (counting and competition: yes or no; tags: with blanks between)
hole    = number { shot | score | picked-up | fact }      with blanks between
shot    = lie distance [ "(" detail { "," detail } ")" ] [ "+" strokes penalty ]
lie     = T tee | F fairway | R rough | S sand | C recovery | E fringe | G green | P penalty area
distance= to the hole before the shot: yards, on the green feet; or metres throughout (unit: metres)
penalty = sd stroke and distance | ld lateral drop | un unplayable | ot other
detail  = club as written, such as 7i (or club=name)
        | left | right | low | high | short | long              where a miss finished
        | good | poor | plugged                                 how the ball lay
        | full | part                                           the swing
        | calm | into | helping | from_left | from_right        the wind
        | level | uphill | downhill | sidehill                  the slope
        | straight | left_to_right | right_to_left              the break of a putt
        | read | line | pace                                    what a missed putt failed by
        | short-sided | not-short-sided
        | to=number | went=number | off=number | mph=number | up=number
                                 intended length, measured length, finish beside the line (right positive),
                                 speed of the wind, height of the target
        | #tag
score   = "=" strokes [ "/" putts ]
picked-up = "x" [ most likely score ]
fact    = fw+ | fw- | gir+ | gir- | pen number
```

The last shot of a hole is holed unless the ball was picked up.
"""
