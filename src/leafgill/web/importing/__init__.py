"""Files coming in: what they hold, what of it is new, and what is wrong with them."""
