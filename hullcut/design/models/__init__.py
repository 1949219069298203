"""What a person may type in a design file or an order file."""

from hullcut.design.models.files import BoatTable, DesignFile, ExtraTable, OrderFile
from hullcut.design.models.fittings import FittingTable
from hullcut.design.models.shop import RackTable, ShopTable, StockTable

__all__ = [
    "BoatTable",
    "DesignFile",
    "ExtraTable",
    "FittingTable",
    "OrderFile",
    "RackTable",
    "ShopTable",
    "StockTable",
]
