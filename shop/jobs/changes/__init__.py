"""What can be done to jobs. One file a concern; each verb checks who may, writes once, and keeps history."""
