"""Plain values of the game: situations, rule sets, spots, clock and field."""
