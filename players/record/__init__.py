"""A person and what is kept of them: taking it along, erasing it."""
