"""What a player's shots do: ``pattern`` (where one swing may finish), ``prior`` (before any shot was seen), ``learn``
(from own shots) and ``weather`` (wind, temperature, height above the sea).
"""
