"""The only code that reads more than one row. REST, GraphQL and pages all ask here."""

from players.queries.rounds import RoundPages, round_head, rounds

__all__ = ["RoundPages", "round_head", "rounds"]
