"""The walls: what keeps each club to itself, in the database and in every statement that is sent to it."""
