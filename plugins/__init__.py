"""Built-in plugins. They are found by entry point, as any other plugin is."""
