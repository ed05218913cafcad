"""The decision log: what it holds, how it is read, checked and written."""
