"""What each command of `cuffbias` does."""
