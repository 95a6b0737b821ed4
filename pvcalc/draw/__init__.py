"""Pictures as SVG text, one module for each subject."""
