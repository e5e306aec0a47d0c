"""The lathe, its gears and trains, pitches, threads, wants: what everything else speaks of."""
