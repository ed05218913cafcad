"""The generated pages of docs/, and the computed parts of the written ones.

``python -m pointsleft.reference`` writes them all; tests hold them to what the code says now.
"""
