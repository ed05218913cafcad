"""The decision log: sheets of one game, their reading, checking and writing."""

from pointsleft.log.check import CheckReport, check_log
from pointsleft.log.faults import Fault, LogFaults
from pointsleft.log.reader import read_log
from pointsleft.log.template import new_log
from pointsleft.log.writer import WriteError, write_log

__all__ = [
    "CheckReport",
    "Fault",
    "LogFaults",
    "WriteError",
    "check_log",
    "new_log",
    "read_log",
    "write_log",
]
