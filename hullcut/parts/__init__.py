"""Flat parts taken off a hull and the arrangement of its fittings."""
