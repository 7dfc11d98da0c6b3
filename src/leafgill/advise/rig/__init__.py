"""The gas equipment: what to buy, whether it fits, how it is put together, what it costs a year."""
