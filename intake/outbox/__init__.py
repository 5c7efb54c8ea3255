"""What leaves the lab: jobs for the print queues, and e-mails."""
