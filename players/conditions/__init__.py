"""What the greens and other circumstances cost this club's players, as their own rounds show."""
