"""Setting: new grids, proved and rated before anybody sees them."""
