"""The cautions and limits that go out with every report, in one place."""

from __future__ import annotations

#: One line for the terminal.
CAUTION_LINE = "Estimates about people's work: never the sole ground for a career decision."

CAUTIONS = (
    "These are estimates about people's work. They must never be the sole ground for a decision "
    "about anybody's career.",
    "Standing in against a free rusher has a price in hits that points do not show. The hits an "
    "option asks for are counted apart. Safety and medical judgement come first, whatever the "
    "figures say.",
    "The probabilities describe decisions already made. They are not betting advice.",
    "Local rules come first: where a league, a school or a contract limits what may be "
    "published about a player, that limit holds.",
)

LIMITS = (
    "The models were fitted on professional play; those of another level on what its play-by-play "
    "tells, the rest being borrowed from professional play. The clock, the hash marks and the "
    "gaps in talent differ there, and so do the true values.",
    "Play-by-play is selected: teams that went for it on fourth down were not random teams, and "
    "passes that were thrown were not random passes.",
    "Expected points stop at the next score; what follows it is in win probability only.",
    "From film alone nobody can be sure who was first in the read. The chance that an option was "
    "in the read is the charter's judgement, and it is carried into every figure.",
    "The film judgements are one person's eye. A second charter may see another window.",
)

#: What a comparison of players leaves open, beside the limits of every report.
RANKING_LIMITS = (
    "A player is compared on what he was given to decide; the difficulty of the snaps, the "
    "opponent and the charter are allowed for as far as these logs can tell them apart, and no "
    "further.",
    "Whoever logs a prospect's games chose them. Games picked for being good or bad are no sample, "
    "and no interval here knows of it.",
    "The intervals hold for players who differ from one another about as these do. A player "
    "unlike the rest of his class is pulled toward it all the same.",
)
