"""The view of lessons and of the player for a wall, shown to a room."""
