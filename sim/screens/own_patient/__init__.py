"""My patient, my cuffs: one person and the clinic's cuffs for lessons, practice and the player, kept in the link."""
