"""From a logged snap to a price: options, exact values, ledger and spread."""
