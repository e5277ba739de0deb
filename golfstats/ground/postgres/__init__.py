"""PostgreSQL as the service uses it: the embedded server, the two roles, the connection check."""
