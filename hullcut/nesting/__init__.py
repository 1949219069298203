"""Parts laid on stock: blanks, through cuts, which stock to buy, and what no plan can beat."""
