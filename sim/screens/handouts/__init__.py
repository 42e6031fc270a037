"""The page on which pages to print are put together."""
