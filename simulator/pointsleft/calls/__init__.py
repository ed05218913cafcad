"""What a call cost: fourth downs and tries after a touchdown, one at a time or by the thousand."""
