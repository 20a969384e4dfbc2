"""The bench page: the daily job on a phone, served from this machine and nowhere else."""
