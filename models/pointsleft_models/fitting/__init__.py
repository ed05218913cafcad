"""Numerics of fitting: bases, penalised logits, resampling of games, stored fits."""
