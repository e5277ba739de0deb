"""What a jurisdiction decides, and the recommended allowances."""
