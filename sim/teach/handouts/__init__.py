"""Pages to print for patients and classes, as one PDF: what is wanted, what stands on each page, how it is set."""
