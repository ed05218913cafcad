"""Cells of a stranger's table as values of the schema, and those that cannot be.

Undone here what spreadsheets and other programs do to cells: missing values in many spellings,
a comma for the decimal point, ``12:34`` for seconds, yes and no in many words, ``3.0`` for 3, an
apostrophe before text that would run as a formula.
"""

from __future__ import annotations

import polars as pl

from pointsleft_models.plays.schema import Column

#: Spellings of a missing value, in lower case.
MISSING = ("", "na", "n/a", "#n/a", "nan", "null", "none", "-", "\u2013")

_YES_NO = {
    "yes": True, "y": True, "true": True, "t": True, "1": True, "1.0": True,
    "no": False, "n": False, "false": False, "f": False, "0": False, "0.0": False,
}  # fmt: skip

#: Text that a spreadsheet would run; written behind an apostrophe, which reading takes off.
FORMULA = r"^('*)([=+\-@\t\r])"

TYPES: dict[str, pl.DataType] = {
    "text": pl.String(),
    "int": pl.Int32(),
    "float": pl.Float64(),
    "bool": pl.Boolean(),
}

ACCEPTED = {
    "text": "text",
    "int": "a whole number",
    "float": "a number",
    "bool": "yes or no, true or false, 1 or 0",
}


def value(column: Column, dtype: pl.DataType, decimal_comma: bool = False) -> pl.Expr:
    """The column's cells as the schema's type; empty where a cell cannot be read."""
    raw = cleaned(column.name, dtype, column.words)
    if column.kind == "text":
        return _text(column, raw)
    if dtype == pl.Boolean:
        return raw if column.kind == "bool" else pl.lit(None, dtype=pl.Int32)
    if column.kind == "bool":
        said = raw.cast(pl.String).str.to_lowercase()
        return said.replace_strict(_YES_NO, default=None, return_dtype=pl.Boolean)
    number = _number(raw, dtype, decimal_comma)
    if column.kind == "float":
        return pl.when(number.is_finite()).then(number)
    whole = pl.when(number == number.round()).then(number).cast(pl.Int32, strict=False)
    if column.unit == "seconds" and dtype == pl.String:
        return pl.coalesce(_minutes(raw), whole)
    return whole


def plain_value(column: Column, dtype: pl.DataType) -> tuple[pl.Expr, pl.Expr] | None:
    """The cheap reading of a text cell that needs no undoing, and where it does not do.

    ``None`` where :func:`value` is as cheap. Most tables have nothing to undo, and undoing costs
    several passes over every cell.
    """
    if dtype != pl.String or column.kind == "bool" or (column.kind == "text" and not column.words):
        return None
    raw = pl.col(column.name)
    if column.words:
        return raw, raw.is_not_null() & ~raw.is_in(column.words)
    number = raw.cast(TYPES[column.kind], strict=False)
    fits = number.is_finite() if column.kind == "float" else number.is_not_null()
    return number, raw.is_not_null() & ~fits.fill_null(False)


def cleaned(name: str, dtype: pl.DataType, words: tuple[str, ...] = ()) -> pl.Expr:
    """The column's cells, missing ones empty; one of the column's words is never missing."""
    raw = pl.col(name)
    if isinstance(dtype, (pl.Categorical, pl.Enum)):
        raw = raw.cast(pl.String)
    elif dtype.is_float():
        return pl.when(~raw.is_nan()).then(raw)
    elif dtype != pl.String:
        return raw
    raw = raw.str.strip_chars().str.replace(r"^'('*[=+\-@\t\r])", "$1")
    missing = [spelling for spelling in MISSING if spelling not in words]
    return pl.when(~raw.str.to_lowercase().is_in(missing)).then(raw)


def readable(dtype: pl.DataType) -> bool:
    """Whether cells of this type can be read at all (text, numbers, yes and no)."""
    words = (pl.String, pl.Boolean, pl.Null)
    return dtype in words or dtype.is_numeric() or isinstance(dtype, (pl.Categorical, pl.Enum))


def _text(column: Column, raw: pl.Expr) -> pl.Expr:
    text = raw.cast(pl.String)
    if not column.words:
        return text
    known = {_plain_word(word): word for word in column.words}
    plain = text.str.to_lowercase().str.replace_all(r"[\s_-]+", " ")
    # a word that is none of ours stays as it is, to be reported as it was typed
    return pl.coalesce(plain.replace_strict(known, default=None, return_dtype=pl.String), text)


def _plain_word(word: str) -> str:
    return word.replace("-", " ")


def _number(raw: pl.Expr, dtype: pl.DataType, decimal_comma: bool) -> pl.Expr:
    if dtype == pl.String or isinstance(dtype, (pl.Categorical, pl.Enum)):
        if decimal_comma:
            raw = raw.str.replace(",", ".", literal=True)
        raw = raw.str.replace("^\u2212", "-")
    return raw.cast(pl.Float64, strict=False)


def _minutes(raw: pl.Expr) -> pl.Expr:
    """Seconds of ``mm:ss`` (a spreadsheet may have made ``mm:ss:00`` of it)."""
    form = r"^(\d{1,2}):([0-5]\d)(?::00)?$"
    minutes = raw.str.extract(form, 1).cast(pl.Int32, strict=False)
    return minutes * 60 + raw.str.extract(form, 2).cast(pl.Int32, strict=False)
