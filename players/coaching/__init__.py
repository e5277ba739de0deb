"""A coach's questions about players, answered from their rounds, and what coach and players note down."""
