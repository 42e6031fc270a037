"""The page to practise on: find what went wrong, or set it up yourself."""
