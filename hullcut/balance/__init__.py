"""Weights and balance: from the parts' weights to the next arrangement of the fittings."""
