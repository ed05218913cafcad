"""Expected points and win probability of a situation."""
