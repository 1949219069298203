"""The organiser's document: numbers, plots and checks for the adult who plans the build."""
