"""One file a page, as the app's navigation wants them; each only shows its screen."""
