"""Two charters of one game: their snaps matched, their agreement measured, their logs merged."""
