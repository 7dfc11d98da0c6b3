"""The parts that the benches of live readings share: a home, a server, a broker, senders."""
