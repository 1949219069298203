"""Pictures in space: parts as solids, seen from any side, with hidden surfaces removed."""
