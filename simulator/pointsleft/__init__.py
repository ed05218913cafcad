"""What each decision of a quarterback left on the field.

Floors, from the ground up: ``log`` (the record of a game), ``pricing`` (options, values,
ledger, spread), ``game`` (a priced game as data), ``report`` (renderings of it), ``cli``.
"""

from pointsleft_models import __version__

__all__ = ["__version__"]
