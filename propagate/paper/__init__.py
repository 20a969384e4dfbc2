"""Everything printed: tray labels, stake tags and the stock sheet, as PDF, HTML and CSV."""
