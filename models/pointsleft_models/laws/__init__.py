"""Discrete outcome laws of an option, on one lattice of outcomes."""
