"""What leaves the lab: print queues."""
