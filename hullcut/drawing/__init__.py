"""A scene of items in millimetres, and its writers: SVG, PDF on pages, DXF."""
