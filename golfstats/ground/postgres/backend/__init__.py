"""Django database backend: PostgreSQL that may be embedded and whose role must obey row security."""
