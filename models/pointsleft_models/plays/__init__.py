"""The neutral play table, and one adapter a source.

Nothing beyond an adapter sees a source's own names. Every reader gives the columns of
:mod:`~pointsleft_models.plays.schema`, checked on entry.
"""
