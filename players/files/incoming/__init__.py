"""Files of rounds that come in, from wherever."""
