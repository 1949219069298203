"""What a person types: designs, orders and the workshop, read into frozen values."""
