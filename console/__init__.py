"""The shell: units, boat files, draws, properties, inference and screens. It knows no plugin by name."""
