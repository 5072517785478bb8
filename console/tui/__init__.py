"""The screens. Only `console.tui.app` is imported from outside."""
