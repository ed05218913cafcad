"""What each law and value is fitted on: rows, columns, bases. Nothing here is used to price."""
