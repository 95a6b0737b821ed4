"""The balloon and the annulus: ratio, two balloons, calibration, zones, what a shelf offers."""
