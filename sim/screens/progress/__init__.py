"""My progress: kept in the learner's own browser, shown, taken along, handed in, deleted."""
