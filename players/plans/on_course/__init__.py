"""A plan while its round is played hole by hole, and beside the round afterwards."""
