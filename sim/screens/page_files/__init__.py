"""One file a page, as the app's navigation wants them; each only shows its screen.

The folder must not be called `pages`: beside the app's entry the server would take it for pages of its own.
"""
