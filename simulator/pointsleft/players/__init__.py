"""From snaps to players: pulled together over games, with what is not known left in."""
