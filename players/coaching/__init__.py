"""A coach's questions about players, answered from their rounds, and what he and they note down."""
