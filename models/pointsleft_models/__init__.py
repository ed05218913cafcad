"""What a situation and an option are worth, fitted on open play-by-play.

This package never imports :mod:`pointsleft`. Its floors, from the ground up:

``football``  plain values of the game: situations, rule sets, spots, clock, field
``plays``     the neutral play table and one adapter a source
``fitting``   bases, penalised solvers, resampling of games, stored fits
``values``    expected points and win probability of a situation
``laws``      discrete outcome laws of an option
"""

__version__ = "0.1.0"
