"""What the holes of a course cost, and the choices that cost most."""
