"""Woods, sheets, boards, fasteners and glues: tables with their sources, and what is on offer."""
