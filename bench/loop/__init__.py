"""The closed loop: the trial's tanks kept by the program's advice, beside common practice."""
