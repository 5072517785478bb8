"""The engine: draws, the dependency-ordered run, percentiles, drivers and comparison."""
