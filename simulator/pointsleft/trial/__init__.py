"""The case for the tool, measured: whose ranking puts the better quarterback first."""
