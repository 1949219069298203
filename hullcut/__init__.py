"""From a few hull sizes to every part, template, cutting plan and build packet of a flat-bottomed model boat."""

__all__ = ["__version__"]

__version__ = "0.1.0"
