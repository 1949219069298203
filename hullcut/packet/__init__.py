"""The illustrated build packet."""
