"""Measured scores of the value models beside general-purpose learners (extra ``bench``)."""
