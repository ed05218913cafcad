"""A card for every stored fit: what it was fitted on, how well, and its plot against counts.

``python -m pointsleft_models.cards`` counts, draws and writes.
"""
