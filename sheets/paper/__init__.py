"""A paper as one thing with three forms: pages to print, a CSV file, a sheet of a workbook."""
