"""Outstanding work: asked for in the transaction that causes it, done by a worker, swept up when a worker dies."""
