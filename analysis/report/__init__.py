"""The printed report: one HTML file made from a finished run, that needs nothing else to be read or printed."""
