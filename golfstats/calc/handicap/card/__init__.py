"""From a card to its Score Differential."""
