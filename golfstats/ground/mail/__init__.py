"""Mail waits in the database and is sent by a worker: no process that ends takes what waits along."""
