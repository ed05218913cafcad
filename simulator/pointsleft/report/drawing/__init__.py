"""Figures as SVG, drawn by a few small helpers of our own: data in, markup out.

Every drawing takes plain values and returns one ``<svg>`` element that stands on its own
(colours as attributes, no outside references), so that it can be lifted out of the page.
"""
