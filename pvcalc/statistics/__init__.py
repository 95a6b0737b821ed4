"""Counts, intervals, sample sizes, charts that watch a series, event-free curves."""
