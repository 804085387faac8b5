"""Files that somebody spoiled: each runs with balanced books or is refused with a located message, in bounded time."""
