"""Choices at the end of a half, priced by playing the rest of it out; penalties, priced exactly."""
