"""What a block of a page shows, and the one door through which the browser asks."""
