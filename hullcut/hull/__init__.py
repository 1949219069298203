"""The hull in three dimensions: fair curves, the hull form, developable panels and their charts."""
