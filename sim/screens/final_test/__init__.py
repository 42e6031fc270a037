"""The final test: ten cases in a row, and the result after the last one."""
