"""Tools that rule files share."""
