"""One screen per module, with its stylesheet beside it."""
