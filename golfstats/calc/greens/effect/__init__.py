"""What green work costs a club's members, estimated from their putts, with its controls and what to beware of."""
