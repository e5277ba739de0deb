"""How far claims can be trusted: what came of trying them in hostile worlds, kept as data."""
